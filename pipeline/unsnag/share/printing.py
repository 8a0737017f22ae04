"""Hand an answer on: as a table to look at, CSV, JSON or Parquet."""

import csv
import json
import math
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import duckdb
import pandas as pd
from rich.console import Console
from rich.markup import escape
from rich.table import Table
from rich.text import Text

from unsnag.models import literal
from unsnag.share.asking import Answer


def print_table(found: Answer, out: Console) -> None:
    """Columns as wide as the terminal lets them be; signs are printed as they are."""
    table = Table(*map(escape, found.names), box=None, pad_edge=False)
    for row in found.rows:
        table.add_row(*(Text(_text(value)) for value in row))
    out.print(table)


def print_csv(found: Answer, out: Console) -> None:
    """A heading, then a line a row; nothing stands for null."""
    writer = csv.writer(sys.stdout, lineterminator="\n")
    writer.writerow(found.names)
    writer.writerows(map(_text, row) for row in found.rows)


def _text(value: Any) -> str:
    """A value as a cell: true or false as DuckDB writes them, lists and structures as JSON."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list | dict):
        return json.dumps(value, ensure_ascii=False)
    return "" if value is None else str(value)


def print_json(found: Answer, out: Console) -> None:
    """A list of objects; JSON has no infinity, so that what is not finite is null."""
    records = [dict(zip(found.names, map(_finite, row), strict=True)) for row in found.rows]
    sys.stdout.write(json.dumps(records, ensure_ascii=False, indent=1, allow_nan=False) + "\n")


def _finite(value: Any) -> Any:
    if isinstance(value, list):
        return [_finite(part) for part in value]
    if isinstance(value, dict):
        return {key: _finite(part) for key, part in value.items()}
    return None if isinstance(value, float) and not math.isfinite(value) else value


def print_parquet(found: Answer, out: Console) -> None:
    """The bytes of a Parquet file."""
    sys.stdout.flush()
    sys.stdout.buffer.write(as_parquet(found))


def as_parquet(found: Answer) -> bytes:
    """The bytes of a Parquet file with the types that the answer has; whole numbers stay whole beside nulls."""
    frame = pd.DataFrame(found.rows, columns=range(len(found.names)), dtype=object)
    cells = ", ".join(
        f'cast("{place}" as {kind}) as "{name.replace(chr(34), chr(34) * 2)}"'
        for place, (name, kind) in enumerate(zip(found.names, found.types, strict=True))
    )
    with TemporaryDirectory() as folder, duckdb.connect() as connection:
        path = Path(folder) / "answer.parquet"
        connection.register("answer", frame.rename(columns=str))
        connection.execute(f"copy (select {cells} from answer) to {literal(str(path))} (format parquet)")
        return path.read_bytes()


FORMATS = {"table": print_table, "csv": print_csv, "json": print_json, "parquet": print_parquet}
