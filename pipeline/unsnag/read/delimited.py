"""Delimited text of any delimiter, read by Python's csv module in its strict mode.

Strict, because the lenient mode drops quote marks in silence and takes a file that ends inside a quoted cell for
complete.
"""

import csv
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import islice
from pathlib import Path

from unsnag.errors import Problem
from unsnag.read.files import Survey, workspace_path
from unsnag.read.records import CutShort, Records, Refusal
from unsnag.read.source import SourceLayout
from unsnag.read.text import open_text

CELL_LIMIT = 64 * 1024 * 1024
MISPLACED_QUOTE = Refusal(
    "a quote mark inside a quoted cell is not doubled, so the cells cannot be told apart",
    "Correct the record in the export, or set quote in clinic.toml to the mark that the file uses",
)


def read_delimited(layout: SourceLayout, path: Path, encoding: str, surveyed: Survey) -> Records:
    """The file's records; the rows must be used up or closed to close the file.

    Raises  Problem: no header row; while rows are taken: a quote never closed, a cell over CELL_LIMIT characters
    """
    rows = _numbered(layout, path, encoding)
    _, header = next(rows, (0, None))
    if not isinstance(header, list):
        rows.close()
        raise Problem(
            workspace_path(layout, path),
            f"there is no header row below {layout.title_rows} title rows",
            f"Correct title_rows or quote in clinics/{layout.clinic}/clinic.toml, or export the file again",
        )
    if not surveyed.ends_a_line:
        rows = _with_cut_end(rows, len(header))
    return Records(tuple(header), rows, layout.title_rows)


def _numbered(layout: SourceLayout, path: Path, encoding: str) -> Iterator[tuple[int, list[str] | Refusal]]:
    """Every record below the title rows that is not blank, the header row first."""
    with open_text(path, encoding) as stream, _long_cells_allowed():
        row = sum(1 for _ in islice(stream, layout.title_rows))
        reader = csv.reader(stream, strict=True, **_dialect(layout))
        line, ended = row, False
        while not ended:
            try:
                for cells in reader:
                    row += 1
                    line = reader.line_num + layout.title_rows
                    if any(cells) and not "".join(cells).isspace():
                        yield row, cells
                ended = True
            except csv.Error as error:
                row += 1
                yield row, _refused(layout, path, line + 1, error)
                line = reader.line_num + layout.title_rows


def _dialect(layout: SourceLayout) -> dict:
    if not layout.quote:
        return {"delimiter": layout.delimiter, "quoting": csv.QUOTE_NONE, "quotechar": None}
    return {"delimiter": layout.delimiter, "quotechar": layout.quote}


@contextmanager
def _long_cells_allowed() -> Iterator[None]:
    """The limit belongs to the whole process, so it is put back."""
    before = csv.field_size_limit(CELL_LIMIT)
    try:
        yield
    finally:
        csv.field_size_limit(before)


def _refused(layout: SourceLayout, path: Path, line: int, error: csv.Error) -> Refusal:
    """A record that can be told from its neighbours is refused alone; otherwise the whole file is."""
    if "unexpected end of data" in str(error):
        what = "a quoted cell begins here that is never closed, so the file may be cut short"
    elif "field larger than field limit" in str(error):
        what = f"a cell is longer than {CELL_LIMIT:,} characters, so a quote mark may never be closed"
    else:
        return MISPLACED_QUOTE
    remedy = f"Export the file again, or correct quote in clinics/{layout.clinic}/clinic.toml"
    raise Problem(f"{workspace_path(layout, path)}, line {line}", what, remedy)


def _with_cut_end(rows: Iterator, width: int) -> Iterator:
    """Mark the last record if it is short: without a line end it may have been longer."""
    held = None
    for item in rows:
        if held is not None:
            yield held
        held = item
    if held is not None:
        row, cells = held
        yield row, CutShort(cells) if isinstance(cells, list) and len(cells) < width else cells
