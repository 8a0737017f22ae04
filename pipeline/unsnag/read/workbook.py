"""Workbooks (XLSX) through python-calamine: sheets by name, cells with the values that Excel last showed."""

import zlib
from collections.abc import Iterator
from pathlib import Path
from zipfile import BadZipFile, ZipFile

from python_calamine import CalamineError, CalamineSheet, CalamineWorkbook

from unsnag.errors import Problem
from unsnag.read.files import Survey, workspace_path
from unsnag.read.records import Records, as_text
from unsnag.read.source import SourceLayout

# An archive that unpacks to more is refused: real clinics' workbooks unpack to some ten or twenty times their
# size and a few hundred megabytes at most (from experience, no source).
UNPACKED_LIMIT = 1 << 30
RATIO_LIMIT = 200
RATIO_APPLIES_FROM = 50 << 20


def refuse_what_is_no_workbook(layout: SourceLayout, path: Path, surveyed: Survey) -> None:
    """Raise a Problem for an empty, truncated, encrypted or foreign file and for a zip bomb."""
    if not surveyed.start.startswith(b"PK\x03\x04"):
        kind = surveyed.kind or ("empty" if surveyed.size == 0 else "something else")
        raise _unreadable(layout, path, f"it is {kind}")
    try:
        with ZipFile(path) as archive:
            _refuse_a_bomb(layout, path, surveyed, archive)
            # Unpacks each part up to its stated size, so an archive that understates its sizes shows here.
            damaged = archive.testzip()
    except (BadZipFile, EOFError, zlib.error):
        damaged = "the archive"
    if damaged:
        raise _unreadable(layout, path, f"{damaged} is damaged or cut short")


def _refuse_a_bomb(layout: SourceLayout, path: Path, surveyed: Survey, archive: ZipFile) -> None:
    unpacked = sum(member.file_size for member in archive.infolist())
    exceeds_ratio = unpacked > RATIO_APPLIES_FROM and unpacked > RATIO_LIMIT * surveyed.size
    if unpacked > UNPACKED_LIMIT or exceeds_ratio:
        raise Problem(
            workspace_path(layout, path),
            f"the workbook unpacks from {surveyed.size:,} to {unpacked:,} bytes and is refused as unsafe",
            f"Export a workbook that unpacks to at most {UNPACKED_LIMIT:,} bytes and {RATIO_LIMIT} times its size",
        )


def read_workbook(layout: SourceLayout, path: Path) -> Records:
    """The records of the sheet; the header is the first row with values below the title rows.

    Raises  Problem: the sheet is missing, or it has no header row, or the workbook is damaged
    """
    try:
        book = CalamineWorkbook.from_path(path)
        sheet = book.get_sheet_by_name(sheet_name(layout, path, book.sheet_names))
    except CalamineError as error:
        raise _unreadable(layout, path, f"it cannot be read ({error})") from None
    rows = _rows(layout, sheet)
    _, header = next(rows, (0, None))
    if header is None:
        raise Problem(
            f"{workspace_path(layout, path)}, sheet '{sheet.name}'",
            f"there is no header row below {layout.title_rows} title rows",
            f"Correct sheet or title_rows in clinics/{layout.clinic}/clinic.toml",
        )
    return Records(tuple(header), rows, layout.title_rows)


def sheet_name(layout: SourceLayout, path: Path, names: list[str]) -> str:
    """The stated sheet, or the only one."""
    if layout.sheet in names:
        return layout.sheet
    if layout.sheet is None and len(names) == 1:
        return names[0]
    stated = (
        f"there is no sheet '{layout.sheet}'" if layout.sheet else "no sheet is stated and there are several"
    )
    raise Problem(
        workspace_path(layout, path),
        stated,
        f"Set sheet in clinics/{layout.clinic}/clinic.toml to one of: {', '.join(names)}",
    )


def _rows(layout: SourceLayout, sheet: CalamineSheet) -> Iterator[tuple[int, list[str]]]:
    """Sheet row and cells of each row with a value; hidden rows are rows, a merged range is its first cell."""
    for row, values in enumerate(sheet.iter_rows(), start=1):
        if row > layout.title_rows:
            cells = [value if isinstance(value, str) else as_text(value, layout.decimal) for value in values]
            if any(cell.strip() for cell in cells):
                yield row, cells


def _unreadable(layout: SourceLayout, path: Path, why: str) -> Problem:
    return Problem(
        workspace_path(layout, path),
        f"the file is not a readable workbook: {why}",
        "Save it again as an .xlsx workbook without a password, or correct format in "
        f"clinics/{layout.clinic}/clinic.toml",
    )
