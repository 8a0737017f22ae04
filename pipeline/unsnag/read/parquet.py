"""Parquet files, read through DuckDB in a connection of their own and handed on as text."""

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import duckdb

from unsnag.errors import Problem
from unsnag.read.files import workspace_path
from unsnag.read.records import Records, as_text
from unsnag.read.source import SourceLayout

BATCH = 2048
NUMBER_TYPES = ("FLOAT", "DOUBLE", "DECIMAL")


def read_parquet(layout: SourceLayout, path: Path) -> Records:
    """The file's records, rows numbered from 1.

    Raises  Problem: the file is not readable Parquet
    """
    try:
        with closing(duckdb.connect()) as connection:
            described = connection.execute("describe select * from read_parquet(?)", [str(path)]).fetchall()
    except duckdb.Error:
        raise _unreadable(layout, path) from None
    types = {name: kind for name, kind, *_ in described}
    return Records(tuple(types), _rows(layout, path, types))


def _rows(layout: SourceLayout, path: Path, types: dict[str, str]) -> Iterator[tuple[int, list[str]]]:
    """Every row is a record, an empty one too: a table's rows were meant, unlike a text file's blank lines."""
    values = ", ".join(_value(name, kind) for name, kind in types.items())
    first = 1
    with closing(duckdb.connect()) as connection:
        try:
            found = connection.execute(f"select {values} from read_parquet(?)", [str(path)])
            while batch := found.fetchmany(BATCH):
                for row, record in enumerate(batch, start=first):
                    yield row, [as_text(value, layout.decimal) for value in record]
                first += len(batch)
        except duckdb.Error:
            raise _unreadable(layout, path) from None


def _value(name: str, kind: str) -> str:
    """Numbers with a fraction come as numbers, for the decimal sign; everything else is cast by DuckDB."""
    column = '"' + name.replace('"', '""') + '"'
    return column if kind.startswith(NUMBER_TYPES) else f"{column}::varchar"


def _unreadable(layout: SourceLayout, path: Path) -> Problem:
    return Problem(
        workspace_path(layout, path),
        "the file is not readable Parquet: it is damaged, cut short or of another kind",
        f"Export the file again, or correct format in clinics/{layout.clinic}/clinic.toml",
    )
