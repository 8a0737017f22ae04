"""Tables of the report: which cells, in what words, aligned on their decimals; and every table as CSV."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import duckdb
import pandas
from unsnag_charts import numbers

from unsnag.databases import reading
from unsnag.report.published import NAMES

LEFT, RIGHT = "left", "right"


@dataclass(frozen=True)
class Column:
    """One column of a table as report.toml describes it.

    header : its heading, with its unit
    kind   : how its cells are written, a name of KINDS
    source : the columns of the frame that it is made from
    """

    header: str
    kind: str
    source: tuple[str, ...]

    @property
    def side(self) -> str:
        """Numbers stand at the right, words at the left."""
        return LEFT if self.kind in ("text", "yes_no") else RIGHT


@dataclass(frozen=True)
class Table:
    """A table ready to be set.

    caption : what it shows
    columns : its columns; the first one names the row
    rows    : the cells as words, row by row
    """

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]


def _text(value: object) -> str:
    return "" if numbers.is_missing(value) else str(value)


def _yes_no(value: object) -> str:
    return "yes" if value else "no"


KINDS: dict[str, Callable[..., str]] = {
    "text": _text,
    "yes_no": _yes_no,
    "count": numbers.count,
    "number": numbers.number,
    "interval": numbers.span,
    "p_value": numbers.p_value,
    "ratio": lambda value: numbers.number(value, 2),
    "ratio_interval": lambda low, high: numbers.span(low, high, 2),
}


def table(frame: pandas.DataFrame, columns: list[Column], caption: str) -> Table:
    """Set a frame as a table; columns that the frame lacks, and columns of notes with nothing in them, go."""
    there = [column for column in columns if set(column.source) <= set(frame.columns)]
    cells = [_cells(frame, column) for column in there]
    kept = [i for i, column in enumerate(there) if column.kind != "text" or any(cells[i])]
    rows = zip(*(cells[i] for i in kept), strict=True)
    return Table(caption, tuple(there[i] for i in kept), tuple(rows))


@dataclass(frozen=True)
class Pivot:
    """A wide table from a long frame: the columns that name its rows and columns, and the one with its cells."""

    row: str
    column: str
    cell: str
    header: str


def pivoted(frame: pandas.DataFrame, pivot: Pivot, caption: str) -> Table:
    """Set a frame with one row a cell as a table with one column for each value; order is that of the frame."""
    cells = {
        (row, column): n
        for row, column, n in frame[[pivot.row, pivot.column, pivot.cell]].itertuples(index=False)
    }
    names = list(dict.fromkeys(frame[pivot.column]))
    rows = [
        (str(row), *(numbers.count(cells.get((row, name))) for name in names))
        for row in dict.fromkeys(frame[pivot.row])
    ]
    columns = [Column(str(name), "count", ()) for name in names]
    return Table(caption, (Column(pivot.header, "text", ()), *columns), tuple(rows))


def _cells(frame: pandas.DataFrame, column: Column) -> list[str]:
    write = KINDS[column.kind]
    cells = [write(*values) for values in zip(*(frame[name] for name in column.source), strict=True)]
    return _aligned(cells) if column.kind.endswith("interval") else cells


def _aligned(cells: list[str]) -> list[str]:
    """Spans with figure blanks before their upper limit, so that both limits align on their decimals."""
    parts = [cell.rpartition(" ") for cell in cells]
    widest = max((len(high) for _, _, high in parts), default=0)
    return [f"{low} {high.rjust(widest, numbers.FIGURE)}" if low else high for low, _, high in parts]


def write_tables(public_database: Path, out_folder: Path) -> list[Path]:
    """Write every published table to ``tables/<name>.csv`` in ``out_folder``, rows in their stored order.

    A text that begins like a formula gets an apostrophe before it, for a spreadsheet would run it.

    What an earlier run wrote there goes. Returns the files, by name.
    """
    folder = out_folder / "tables"
    folder.mkdir(parents=True, exist_ok=True)
    for stale in folder.glob("*.csv"):
        stale.unlink()
    with reading(public_database) as connection:
        names = [name for name, _ in connection.execute(NAMES).fetchall()]
        for name in names:
            connection.sql(_harmless(connection, name)).write_csv(str(folder / f"{name}.csv"), header=True)
    return [folder / f"{name}.csv" for name in names]


def _harmless(connection: duckdb.DuckDBPyConnection, name: str) -> str:
    """A SELECT of a published table in which no text begins with a formula's sign."""
    columns = connection.table(f"public.{_quoted(name)}")
    parts = [
        f"case when regexp_matches({_quoted(column)}, '^[=+\\-@\\t\\r]') then '''' else '' end"
        f" || {_quoted(column)} as {_quoted(column)}"
        if kind == "VARCHAR"
        else _quoted(column)
        for column, kind in zip(columns.columns, map(str, columns.types), strict=True)
    ]
    return f"select {', '.join(parts)} from public.{_quoted(name)} order by rowid"


def _quoted(name: str) -> str:
    return '"' + name.replace('"', '""') + '"'
