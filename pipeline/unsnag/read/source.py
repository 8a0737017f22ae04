"""What the reading room is told about one kind of export, and what it tells about one file."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Literal

Format = Literal["delimited", "workbook", "json_lines", "parquet"]


@dataclass(frozen=True, kw_only=True)
class SourceLayout:
    """One kind of export of one clinic.

    clinic, name        : the raw table is ``raw."<clinic>__<name>"``
    folder              : the clinic's folder, ``<workspace>/clinics/<clinic>``
    files               : glob in that folder, e.g. "exports/*.csv"
    delimiter, quote    : one character each; quote "" for files that never quote
    encoding            : None to find out (byte order mark, strict UTF-8, then Windows-1252)
    sheet               : a workbook's sheet; None for its only sheet
    title_rows          : rows above the header row
    totals              : a record whose first cell starts with one of these is a totals row
    export_date_in_name : strptime pattern of the date in the file's name, when export_date is None
    decimal             : the clinic's decimal sign. Cells that a format itself types as numbers are written with
                          it too, so that one rule casts the whole column later
    missing             : the clinic's words for "no value"; kept in raw.*, nulled by the layer above
    private             : columns never stored. "a.b" is a key in an object (or in a nested list), "a" all of it
    only                : column → values; records with any other value are counted and left out
    nested              : json_lines: keys that hold lists of objects, each a table of its own
    plain_columns       : columns mapped to keys, dates, numbers and short code words, which are not searched for
                          contact details; a key of a nested list is written "list.key"
    until               : files exported after that day are left alone; None for every file
    Column names are compared after trimming, collapsing blanks and folding case.
    """

    clinic: str
    name: str
    folder: Path
    files: str
    format: Format = "delimited"
    delimiter: str = ","
    encoding: str | None = None
    quote: str = '"'
    sheet: str | None = None
    title_rows: int = 0
    totals: tuple[str, ...] = ()
    export_date: date | None = None
    export_date_in_name: str | None = None
    decimal: str = "."
    missing: tuple[str, ...] = ()
    private: tuple[str, ...] = ()
    only: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    nested: tuple[str, ...] = ()
    plain_columns: frozenset[str] = frozenset()
    until: date | None = None


@dataclass(frozen=True, kw_only=True)
class FileRecord:
    """One row of ``raw.files``: a file that was read, and where each of its records went.

    records_counted, from the independent reader, is title_rows + totals_rows + left_out_rows + refused_rows +
    raw_rows, from the main one. path is relative to the workspace; encoding is "" for binary formats.
    """

    file_id: int
    clinic: str
    source: str
    path: str
    sha256: str
    bytes: int
    export_date: date | None
    encoding: str
    records_counted: int
    title_rows: int
    totals_rows: int
    left_out_rows: int
    refused_rows: int
    raw_rows: int
