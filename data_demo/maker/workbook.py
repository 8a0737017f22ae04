"""XLSX files with the same bytes on every machine.

openpyxl stamps the clock into a workbook, and compression differs between builds of zlib. So the workbook is written by
openpyxl and its parts are then stored, uncompressed and undated, in a fixed order. Rows are written here, in openpyxl's
own form: its writer would take more than half of the time that a million cases need.
"""

import datetime as dt
import os
import re
import shutil
import tempfile
import zipfile
from xml.sax.saxutils import escape

os.environ["OPENPYXL_LXML"] = "False"  # lxml and the standard library write the same XML in different bytes

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.utils import get_column_letter

MADE = "2025-01-02T09:00:00Z"
LARGE = 50_000_000
EPOCH = (1980, 1, 1, 0, 0, 0)
DAY_ZERO = dt.datetime(1899, 12, 30)
DAY_STYLE = 1
COLUMNS = [get_column_letter(number) for number in range(1, 100)]


class Sheet:
    """A sheet's rows as XML, kept in a temporary file: texts, numbers and days, None for an empty cell."""

    def __init__(self):
        self._rows, self._count = tempfile.TemporaryFile("w+", encoding="utf-8", newline=""), 0  # noqa: SIM115

    def append(self, values):
        self._count += 1
        filled = (
            (column, value) for column, value in zip(COLUMNS, values, strict=False) if value is not None
        )
        cells = "".join(_cell(f"{column}{self._count}", value) for column, value in filled)
        self._rows.write(f'<row r="{self._count}">{cells}</row>')

    @property
    def size(self):
        return self._rows.tell()

    def copy_to(self, target):
        self._rows.flush()
        self._rows.seek(0)
        shutil.copyfileobj(self._rows.buffer, target)


def _cell(place, value):
    if isinstance(value, str):
        return f'<c r="{place}" t="inlineStr"><is><t>{escape(value)}</t></is></c>'
    if isinstance(value, dt.datetime):
        return f'<c r="{place}" s="{DAY_STYLE}" t="n"><v>{(value - DAY_ZERO).days}</v></c>'
    return f'<c r="{place}" t="n"><v>{value:.16g}</v></c>'


def new_workbook(names):
    """A workbook with empty sheets, and where their rows go, by name."""
    book = Workbook(write_only=True)
    book.properties.creator = "Quennaby Wildlife Hospital (invented)"
    book.properties.created = book.properties.modified = dt.datetime(2025, 1, 2, 9)
    sheets = [book.create_sheet(name) for name in names]
    # Asked for its style, openpyxl enters the one of days as the book's first beside the usual.
    assert WriteOnlyCell(sheets[0], DAY_ZERO).style_id == DAY_STYLE
    return book, {name: Sheet() for name in names}


def save(book, sheets, path):
    """Save without clock and compression (a large one is compressed: it is no demo)."""
    draft = path.with_suffix(".draft")
    book.save(draft)
    is_large = sum(sheet.size for sheet in sheets.values()) > LARGE
    rows = {f"xl/worksheets/sheet{number}.xml": sheet for number, sheet in enumerate(sheets.values(), 1)}
    how = zipfile.ZIP_DEFLATED if is_large else zipfile.ZIP_STORED
    with zipfile.ZipFile(draft) as old, zipfile.ZipFile(path, "w", how) as new:
        for name in sorted(old.namelist()):
            entry = zipfile.ZipInfo(name, EPOCH)
            entry.create_system, entry.external_attr, entry.compress_type = 3, 0o644 << 16, how
            with new.open(entry, "w", force_zip64=False) as target:
                _write(old.read(name), rows.get(name), target)
    draft.unlink()


def _write(content, sheet, target):
    """A part without its clock, a sheet with its rows."""
    if sheet is None:
        target.write(
            re.sub(rb"(<dcterms:\w+[^>]*>)[^<]*(</dcterms)", rb"\g<1>%s\g<2>" % MADE.encode(), content)
        )
        return
    before, after = re.split(rb"<sheetData ?/>|<sheetData></sheetData>", content)
    target.write(before + b"<sheetData>")
    sheet.copy_to(target)
    target.write(b"</sheetData>" + after)
