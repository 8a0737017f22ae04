"""The independent reader: how many records a file holds, found by other means than the main reader's.

What the main reader stores, refuses and leaves out must add up to these counts, so a slip in one of them shows.
"""

from collections.abc import Iterator
from contextlib import closing
from itertools import islice
from pathlib import Path
from xml.etree.ElementTree import ParseError

import duckdb

from unsnag.errors import Problem
from unsnag.read.counting_workbook import count_workbook
from unsnag.read.files import workspace_path
from unsnag.read.source import SourceLayout
from unsnag.read.text import open_text


def count_records(layout: SourceLayout, path: Path, encoding: str) -> int:
    """Every title row and every record below the header row, totals rows included, blank ones not."""
    if layout.format == "delimited":
        return count_delimited(path, encoding, layout.delimiter, layout.quote, layout.title_rows)
    if layout.format == "workbook":
        try:
            return count_workbook(path, layout.sheet, layout.title_rows)
        except (KeyError, ParseError):
            raise Problem(
                workspace_path(layout, path),
                "the rows of the workbook cannot be counted in its XML, so nothing proves that all were read",
                "Open it in a spreadsheet program and save it again as .xlsx",
            ) from None
    if layout.format == "json_lines":
        return count_lines(path, encoding)
    return count_parquet(path)


def count_lines(path: Path, encoding: str) -> int:
    """Lines that are not blank."""
    with open_text(path, encoding) as stream:
        return sum(1 for line in stream if not line.isspace())


def count_parquet(path: Path) -> int:
    """The number of rows in the file's own metadata."""
    with closing(duckdb.connect()) as connection:
        found = connection.execute("select sum(num_rows) from parquet_file_metadata(?)", [str(path)])
        return int(found.fetchone()[0])


def count_delimited(path: Path, encoding: str, delimiter: str, quote: str, title_rows: int) -> int:
    """Title lines, and records that hold more than blanks and delimiters, less the header row."""
    with open_text(path, encoding) as stream:
        titles = sum(1 for _ in islice(stream, title_rows))
        filled = sum(_filled_records(stream, delimiter, quote))
    return titles + filled - 1


def _filled_records(lines: Iterator[str], delimiter: str, quote: str) -> Iterator[bool]:
    """For each record whether it holds anything; a line without a quote mark is a record by itself."""
    for line in lines:
        if quote and quote in line:
            yield _quoted_record(line, lines, delimiter, quote)
        else:
            yield _holds_a_sign(line, delimiter)


def _holds_a_sign(text: str, delimiter: str) -> bool:
    return bool(text.replace(delimiter, " ").strip())


def _quoted_record(line: str, lines: Iterator[str], delimiter: str, quote: str) -> bool:
    """Follow one record from quoted cell to quoted cell, taking further lines while one is open.

    A cell is quoted if the mark is its first sign. A closing mark must be followed by a delimiter or a line end;
    if it is not, the record is broken and ends with its line.
    """
    filled, place = False, 0
    while True:
        if not line.startswith(quote, place):
            start = line.find(delimiter + quote, place)
            filled = filled or _holds_a_sign(line[place : start if start >= 0 else None], delimiter)
            if start < 0:
                return filled
            place = start + 1
        inner, line, place = _past_quoted_cell(line, place + 1, lines, quote)
        filled = filled or inner
        if not line.startswith(delimiter, place):
            return filled or bool(line[place:].strip("\r\n"))
        place += 1


def _past_quoted_cell(line: str, place: int, lines: Iterator[str], quote: str) -> tuple[bool, str, int]:
    """Whether the cell holds anything, the line on which it closes, and the place behind its closing mark."""
    filled = False
    while line:
        end = _closing_mark(line, place, quote)
        filled = filled or bool(line[place : end if end >= 0 else None].strip())
        if end >= 0:
            return filled, line, end + 1
        line, place = next(lines, ""), 0
    return filled, line, place


def _closing_mark(line: str, place: int, quote: str) -> int:
    """The next quote mark that is not doubled, or -1."""
    while (place := line.find(quote, place)) >= 0:
        if not line.startswith(quote, place + 1):
            return place
        place += 2
    return -1
