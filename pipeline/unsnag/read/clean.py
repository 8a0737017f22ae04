"""The clean temporary file between a reader and DuckDB: one line a record, and nothing that needs quoting.

Cells are joined by the unit separator, which people cannot type. What would break a line is written as an escape
and turned back in SQL, so that DuckDB needs neither quoting nor guessing and can read in parallel.
"""

from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

SEPARATOR = "\x1f"
ESCAPE = "\x02"
# The escape sign itself comes last: it is turned back after all the others.
ESCAPES = {"\n": ESCAPE + "n", "\r": ESCAPE + "r", SEPARATOR: ESCAPE + "s", ESCAPE: ESCAPE + "e"}
# A zero byte ends a text in many programs, and no clinic means one.
TRANSLATION = str.maketrans(ESCAPES | {"\0": "\ufffd"})


class CleanFile(NamedTuple):
    """A written temporary file.

    numbers       : its leading integer columns, ("_row",) or ("_row", "_item")
    columns       : its text columns
    escaped       : positions among all columns in which a cell holds an escape
    longest_bytes : bytes of the longest line
    """

    path: Path
    numbers: tuple[str, ...]
    columns: tuple[str, ...]
    escaped: frozenset[int]
    longest_bytes: int


def write_clean(
    path: Path, numbers: tuple[str, ...], columns: tuple[str, ...], records: Iterable[list[str]]
) -> CleanFile:
    """Write the records; each starts with its numbers."""
    escaped: set[int] = set()
    longest = 0
    separators = len(numbers) + len(columns) - 1
    with path.open("wb", buffering=1 << 20) as stream:
        for cells in records:
            line = SEPARATOR.join(cells)
            if _needs_escapes(line) or line.count(SEPARATOR) != separators:
                line = _escaped(cells, escaped)
            data = line.encode("utf-8", "replace") + b"\n"
            longest = max(longest, len(data))
            stream.write(data)
    return CleanFile(path, numbers, columns, frozenset(escaped), longest)


def _needs_escapes(line: str) -> bool:
    return "\n" in line or "\r" in line or ESCAPE in line or "\0" in line


def _escaped(cells: list[str], places: set[int]) -> str:
    translated = [cell.translate(TRANSLATION) for cell in cells]
    places.update(place for place, cell in enumerate(translated) if ESCAPE in cell)
    return SEPARATOR.join(translated)
