"""XLSX files with the same bytes on every machine.

openpyxl stamps the clock into a workbook, and compression differs between builds of zlib. So the workbook is written by
openpyxl and its parts are then stored, uncompressed and undated, in a fixed order.
"""

import datetime as dt
import os
import re
import shutil
import zipfile

os.environ["OPENPYXL_LXML"] = "False"  # lxml and the standard library write the same XML in different bytes

from openpyxl import Workbook

MADE = "2025-01-02T09:00:00Z"
LARGE = 5_000_000
EPOCH = (1980, 1, 1, 0, 0, 0)


def new_workbook(sheets):
    """A write-only workbook, and its sheets by name."""
    book = Workbook(write_only=True)
    book.properties.creator = "Quennaby Wildlife Hospital (invented)"
    book.properties.created = book.properties.modified = dt.datetime(2025, 1, 2, 9)
    return book, {name: book.create_sheet(name) for name in sheets}


def save(book, path):
    """Save, then rewrite the archive without clock and compression (a large one stays compressed: it is no demo)."""
    draft = path.with_suffix(".draft")
    book.save(draft)
    if draft.stat().st_size > LARGE:
        draft.replace(path)
        return
    with zipfile.ZipFile(draft) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_STORED) as new:
        for name in sorted(old.namelist()):
            _copy(old, new, name)
    draft.unlink()


def _copy(old, new, name):
    entry = zipfile.ZipInfo(name, EPOCH)
    entry.create_system, entry.external_attr = 3, 0o644 << 16
    if name == "docProps/core.xml":
        text = old.read(name).decode()
        new.writestr(entry, re.sub(r"(<dcterms:\w+[^>]*>)[^<]*(</dcterms)", rf"\g<1>{MADE}\g<2>", text))
        return
    with old.open(name) as source, new.open(entry, "w", force_zip64=False) as target:
        shutil.copyfileobj(source, target)
