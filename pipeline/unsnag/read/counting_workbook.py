"""Counts a sheet's rows in its XML, without the library that reads its cells."""

from collections.abc import Iterator
from pathlib import Path
from xml.etree.ElementTree import Element, iterparse
from zipfile import ZipFile

from unsnag.read import counting_bytes
from unsnag.read.counting_bytes import Unusual

WORKBOOK = "xl/workbook.xml"
RELATIONS = "xl/_rels/workbook.xml.rels"
SHARED_STRINGS = "xl/sharedStrings.xml"


def count_workbook(path: Path, sheet: str | None, title_rows: int) -> int:
    """Title rows, and rows below them with a value, less the header row.

    sheet : its name, None for the first
    """
    with ZipFile(path) as archive:
        strings, member = _blank_strings(archive), _member(archive, sheet)
        try:
            below = _below(counting_bytes.filled_rows(archive, member, strings), title_rows)
        except Unusual:
            below = _below(_filled_rows(archive, member, strings), title_rows)
    return title_rows + below - 1


def _below(numbers: Iterator[int], title_rows: int) -> int:
    return sum(1 for number in numbers if number > title_rows)


def _member(archive: ZipFile, sheet: str | None) -> str:
    """The archive's member that holds the sheet."""
    targets = {item.get("Id"): item.get("Target") for item in _elements(archive, RELATIONS, "Relationship")}
    for item in _elements(archive, WORKBOOK, "sheet"):
        if sheet is None or item.get("name") == sheet:
            identifier = next((value for name, value in item.items() if name.endswith("}id")), "")
            target = targets[identifier]
            return target.removeprefix("/") if target.startswith("/") else f"xl/{target}"
    raise KeyError(sheet)


def _elements(archive: ZipFile, member: str, name: str) -> Iterator[Element]:
    """Every element of that local name, emptied after use so that a long sheet needs little memory."""
    with archive.open(member) as stream:
        for _, element in iterparse(stream):
            if _local(element) == name:
                yield element
                element.clear()


def _local(element: Element) -> str:
    return element.tag.rpartition("}")[2]


def _blank_strings(archive: ZipFile) -> frozenset[str]:
    """The numbers, as cells write them, of shared strings without a visible sign."""
    if SHARED_STRINGS not in archive.namelist():
        return frozenset()
    try:
        return counting_bytes.blank_strings(archive, SHARED_STRINGS)
    except Unusual:
        return _parsed_blank_strings(archive)


def _parsed_blank_strings(archive: ZipFile) -> frozenset[str]:
    items = enumerate(_elements(archive, SHARED_STRINGS, "si"))
    return frozenset(str(number) for number, item in items if not _text(item).strip())


def _text(element: Element) -> str:
    """All runs of a string, without its phonetic guide."""
    inner = "".join(_text(child) for child in element if _local(child) != "rPh")
    return inner + (element.text or "" if _local(element) == "t" else "")


def _filled_rows(archive: ZipFile, member: str, blank_strings: frozenset[str]) -> Iterator[int]:
    """The numbers of rows in which some cell has a value; a row without a number follows the one before."""
    number = 0
    for row in _elements(archive, member, "row"):
        number = int(row.get("r", number + 1))
        if any(_is_filled(cell, blank_strings) for cell in row):
            yield number


def _is_filled(cell: Element, blank_strings: frozenset[str]) -> bool:
    kind = cell.get("t")
    values = [_text(part) or part.text or "" for part in cell if _local(part) in ("v", "is")]
    value = "".join(values).strip()
    if kind == "e" or not value:
        return False
    return value not in blank_strings if kind == "s" else True
