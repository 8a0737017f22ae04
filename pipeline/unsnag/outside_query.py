"""Answer a question from outside on a database: read-only, no files, no network, locked configuration."""

import csv
import json
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, NamedTuple

import duckdb
import pandas as pd
from rich.console import Console
from rich.markup import escape
from rich.table import Table
from rich.text import Text

from unsnag.databases import reading
from unsnag.errors import Problem
from unsnag.models import literal

FORMATS = ("table", "csv", "json", "parquet")
LOCKED = {
    "enable_external_access": "false",
    "autoload_known_extensions": "false",
    "autoinstall_known_extensions": "false",
    "python_enable_replacements": "false",
    "lock_configuration": "true",
}


class Answer(NamedTuple):
    """The rows of a SELECT with the names and types of its columns."""

    names: list[str]
    types: list[str]
    rows: list[tuple[Any, ...]]


def answer(path: Path, sql: str, format: str, out: Console) -> None:
    """Run one SELECT and print its rows.

    format : one of FORMATS
    Raises  Problem: DuckDB's own refusal in one sentence
    """
    {"table": _print_table, "csv": _print_csv, "json": _print_json, "parquet": _print_parquet}[format](
        ask(path, sql), out
    )


def ask(path: Path, sql: str) -> Answer:
    """The rows of one SELECT on a database that it can neither change nor leave.

    Raises  Problem: it is no SELECT, or DuckDB refuses it
    """
    with reading(path) as connection:
        for name, value in LOCKED.items():
            connection.execute(f"set {name} = {value}")
        try:
            statements = connection.extract_statements(sql)
            if len(statements) != 1 or statements[0].type != duckdb.StatementType.SELECT:
                raise Problem(
                    "the query", "it is not one SELECT", "Write one SELECT; nothing can be changed here"
                )
            relation = connection.sql(sql)
            return Answer(relation.columns, [str(kind) for kind in relation.types], relation.fetchall())
        except duckdb.Error as error:
            raise Problem("the query", _in_one_line(error), _remedy(path)) from None


def _in_one_line(error: duckdb.Error) -> str:
    return str(error).partition("\n\nLINE")[0].replace("\n", " ")


def _remedy(path: Path) -> str:
    with reading(path) as connection:
        tables = connection.execute(
            "select table_schema || '.' || table_name from information_schema.tables order by 1"
        ).fetchall()
    shown = [name for (name,) in tables if name.startswith(("public.", "mart."))]
    return f"The tables are: {', '.join(shown)}"


def _print_table(found: Answer, out: Console) -> None:
    table = Table(*map(escape, found.names), box=None, pad_edge=False)
    for row in found.rows:
        table.add_row(*(Text(_text(value)) for value in row))
    out.print(table)


def _print_csv(found: Answer, out: Console) -> None:
    writer = csv.writer(sys.stdout, lineterminator="\n")
    writer.writerow(found.names)
    writer.writerows(map(_text, row) for row in found.rows)


def _text(value: Any) -> str:
    """A value as a cell: nothing for null, and true or false as DuckDB writes them."""
    if isinstance(value, bool):
        return str(value).lower()
    return "" if value is None else str(value)


def _print_json(found: Answer, out: Console) -> None:
    records = [dict(zip(found.names, row, strict=True)) for row in found.rows]
    sys.stdout.write(json.dumps(records, default=str, ensure_ascii=False, indent=1) + "\n")


def _print_parquet(found: Answer, out: Console) -> None:
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
