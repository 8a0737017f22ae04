"""Hand an answer on: as a table to look at, CSV, JSON or Parquet."""

import csv
import json
import math
import re
import sys
from collections.abc import Iterable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import duckdb
import pandas as pd
from rich.cells import cell_len
from rich.console import Console
from rich.table import Table
from rich.text import Text

from unsnag.models import literal
from unsnag.share.asking import Answer

WHOLE = "Each row as a block, for the table is wider than this terminal; --format csv gives it as a table."


def print_table(found: Answer, out: Console) -> None:
    """Columns side by side; where the terminal is too narrow for them, each row as a block of names and values.

    What is piped elsewhere has no width and is never folded.
    """
    cells = [[_text(value) for value in row] for row in found.rows]
    columns = [(name, *(row[place] for row in cells)) for place, name in enumerate(found.names)]
    least = [max(map(cell_len, [column[0], *_words(column[1:])])) for column in columns]
    if not out.is_terminal:
        widest = [max(map(cell_len, "\n".join(column).split("\n"))) for column in columns]
        out = Console(width=max(out.width, sum(widest) + GAP * len(widest)))
    elif sum(least) + GAP * (len(least) - 1) > out.width:
        return _print_blocks(found.names, cells, out)
    table = _bare_table()
    for name, width, kind in zip(found.names, least, found.types, strict=True):
        justify = "right" if NUMERIC.match(kind) else "left"
        table.add_column(Text(name), min_width=width, justify=justify, overflow="fold")
    for row in cells:
        table.add_row(*map(Text, row))
    out.print(table)
    return None


GAP = 2
NUMERIC = re.compile(r"(U?(TINY|SMALL|BIG|HUGE)?INT(EGER)?|DOUBLE|FLOAT|DECIMAL.*)$")


def _words(cells: Iterable[str]) -> list[str]:
    """What must not be broken."""
    return [word for cell in cells for word in cell.split()]


def _bare_table(**options) -> Table:
    return Table(box=None, pad_edge=False, padding=(0, GAP, 0, 0), **options)


def _print_blocks(names: list[str], cells: list[list[str]], out: Console) -> None:
    out.print(WHOLE, markup=False, highlight=False)
    widest = max(map(cell_len, names)) + 1
    for row in cells:
        block = _bare_table(show_header=False)
        block.add_column(min_width=widest)
        block.add_column(overflow="fold")
        for name, cell in zip(names, row, strict=True):
            block.add_row(Text(f"{name}:"), Text(cell))
        out.print()
        out.print(block)


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
