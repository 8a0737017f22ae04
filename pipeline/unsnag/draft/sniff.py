"""What tables a file holds, and how they are written: told from the file itself, before anything is read for good."""

import csv
import json
import re
from collections import Counter
from collections.abc import Sequence
from itertools import islice
from pathlib import Path
from typing import NamedTuple

from python_calamine import CalamineError, CalamineWorkbook

from unsnag.errors import Problem
from unsnag.read.files import survey
from unsnag.read.names import unique_names
from unsnag.read.records import as_text
from unsnag.read.source import SourceLayout
from unsnag.read.text import encoding_of, open_text
from unsnag.read.workbook import refuse_what_is_no_workbook

DELIMITERS = (",", ";", "\t", "|")
LOOKED_AT = 300
VALUE = re.compile(r"[-+]?[\d.,:/ -]*\d[\d.,:/ -]*(?:[TZ ].*)?")


class Table(NamedTuple):
    """One table of one file: a sheet, or the file itself.

    title_rows : lines (or sheet rows) above the header row
    nested     : keys of JSON Lines that hold lists of objects
    header     : its column names as the reading room will store them
    """

    path: Path
    format: str
    header: tuple[str, ...]
    sheet: str | None = None
    delimiter: str = ","
    encoding: str | None = None
    title_rows: int = 0
    nested: tuple[str, ...] = ()


def tables_of(clinic: str, path: Path) -> list[Table]:
    """Every table of an export file; sheets without a header row are none.

    Raises  Problem: the file is empty, or nothing that the reading room can read
    """
    layout = SourceLayout(clinic=clinic, name="draft", folder=path.parent, files=path.name)
    surveyed = survey(path)
    if surveyed.start.startswith(b"PAR1"):
        return [Table(path, "parquet", ())]
    if path.suffix.lower() in (".xlsx", ".xlsm") or surveyed.start.startswith(b"PK\x03\x04"):
        refuse_what_is_no_workbook(layout, path, surveyed)
        return _sheets(path)
    encoding = encoding_of(layout, path, surveyed)
    with open_text(path, encoding) as stream:
        lines = list(islice(stream, LOOKED_AT))
    first = next((line.strip() for line in lines if line.strip()), "")
    if first.startswith("{"):
        return [Table(path, "json_lines", (), encoding=encoding, nested=_nested_keys(lines))]
    return [_delimited(path, encoding, lines)]


def _sheets(path: Path) -> list[Table]:
    try:
        book = CalamineWorkbook.from_path(path)
        sheets = [(name, book.get_sheet_by_name(name)) for name in book.sheet_names]
    except CalamineError as error:
        raise Problem(str(path), f"the workbook cannot be read ({error})", "Save it again as .xlsx") from None
    found = []
    for name, sheet in sheets:
        rows = [[as_text(value) for value in row] for row in islice(sheet.iter_rows(), LOOKED_AT)]
        place = header_place(rows)
        if place is not None:
            header = unique_names(rows[place])
            found.append(Table(path, "workbook", header, sheet=name, title_rows=place))
    return found


def _nested_keys(lines: Sequence[str]) -> tuple[str, ...]:
    """The keys that hold lists of objects, in the order of their first sight; a line that is no JSON holds none."""
    found: dict[str, None] = {}
    for line in lines:
        try:
            content = json.loads(line)
        except ValueError:
            continue
        if isinstance(content, dict):
            lists = [key for key, value in content.items() if isinstance(value, list)]
            found |= dict.fromkeys(
                key for key in lists if any(isinstance(item, dict) for item in content[key])
            )
    return tuple(found)


def _delimited(path: Path, encoding: str, lines: Sequence[str]) -> Table:
    """The delimiter that cuts most lines into the same number of cells, more than one."""
    best = max(DELIMITERS, key=lambda delimiter: _evenness(lines, delimiter))
    reader = csv.reader(lines, delimiter=best)
    starts, rows, line = [], [], 0
    for row in reader:
        starts.append(line)
        rows.append(row)
        line = reader.line_num
    place = header_place(rows)
    if place is None:
        raise Problem(
            str(path),
            "there is no header row in its first lines",
            "Export it again with a row of column names",
        )
    return Table(
        path,
        "delimited",
        unique_names(rows[place]),
        delimiter=best,
        encoding=encoding,
        title_rows=starts[place],
    )


def _evenness(lines: Sequence[str], delimiter: str) -> tuple[float, int]:
    widths = [len(row) for row in csv.reader(lines, delimiter=delimiter) if row]
    (width, times), *_ = Counter(widths).most_common(1) or [(1, 0)]
    return (times / max(len(widths), 1) if width > 1 else 0.0, width)


def header_place(rows: Sequence[Sequence[str]]) -> int | None:
    """The first row that looks like column names: as wide as the table, in words, no two alike."""
    filled = [[cell.strip() for cell in row if cell.strip()] for row in rows]
    widths = [len(cells) for cells in filled if len(cells) > 1]
    if not widths:
        return None
    usual = sorted(widths)[len(widths) // 2]
    for place, cells in enumerate(filled):
        words = [cell for cell in cells if not VALUE.fullmatch(cell) and cell != "[removed]"]
        is_wide = len(cells) > 1 and len(cells) >= 0.6 * usual
        if is_wide and len(words) >= 0.8 * len(cells) and len(set(cells)) >= 0.8 * len(cells):
            return place
    return None
