"""Answer a question from outside on a database: read-only, no files, no network, locked configuration."""

import json
import sys
from pathlib import Path

import duckdb
from rich.console import Console
from rich.table import Table

from unsnag.databases import reading
from unsnag.errors import Problem

FORMATS = ("table", "csv", "json", "parquet")
LOCKED = {
    "enable_external_access": "false",
    "autoload_known_extensions": "false",
    "autoinstall_known_extensions": "false",
    "python_enable_replacements": "false",
    "lock_configuration": "true",
}


def answer(path: Path, sql: str, format: str, out: Console) -> None:
    """Run one SELECT and print its rows.

    Raises  Problem: an unknown format, or DuckDB's own refusal in one sentence
    """
    if format not in FORMATS:
        raise Problem(f"--format {format}", "there is no such format", f"Use one of: {', '.join(FORMATS)}")
    with reading(path) as connection:
        for name, value in LOCKED.items():
            connection.execute(f"set {name} = {value}")
        try:
            relation = connection.sql(sql)
            if relation is None:
                raise Problem("the query", "it returns no rows", "Write one SELECT")
            frame = relation.df() if format != "json" else None
            rows = relation.fetchall() if format in ("table", "json") else []
            names = relation.columns
        except duckdb.Error as error:
            raise Problem("the query", str(error).split("\n\nLINE")[0].replace("\n", " "), _remedy(path)) from None
    _print(format, frame, names, rows, out)


def _remedy(path: Path) -> str:
    with reading(path) as connection:
        tables = connection.execute(
            "select table_schema || '.' || table_name from information_schema.tables order by 1"
        ).fetchall()
    shown = [name for (name,) in tables if name.startswith(("public.", "mart."))]
    return f"The tables are: {', '.join(shown)}"


def _print(format: str, frame, names, rows, out: Console) -> None:
    if format == "csv":
        sys.stdout.write(frame.to_csv(index=False, lineterminator="\n"))
    elif format == "parquet":
        sys.stdout.buffer.write(duckdb_parquet(frame))
    elif format == "json":
        records = [dict(zip(names, row, strict=True)) for row in rows]
        sys.stdout.write(json.dumps(records, default=str, ensure_ascii=False, indent=1) + "\n")
    else:
        table = Table(*names, box=None, pad_edge=False)
        for row in rows:
            table.add_row(*("" if value is None else str(value) for value in row))
        out.print(table)


def duckdb_parquet(frame) -> bytes:
    """A frame as the bytes of a Parquet file, through DuckDB, so that no further library is needed."""
    import tempfile

    with tempfile.TemporaryDirectory() as folder, duckdb.connect() as connection:
        path = Path(folder) / "answer.parquet"
        connection.register("answer", frame)
        connection.table("answer").write_parquet(str(path))
        return path.read_bytes()
