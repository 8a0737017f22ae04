"""shorthand.csv: what a clinic's own short words in its texts mean, in words that everybody writes."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import NamedTuple

from unsnag.csv_text import unguarded
from unsnag.errors import Problem
from unsnag.read.names import fold
from unsnag.workspace.csv_rows import read_rows

COLUMNS = ("written", "means")
OPEN = "?"  # the meaning of a draft: its word is read as it stands until somebody fills it in
HEADING = "written,means,decided,note"


class ShortWord(NamedTuple):
    """One piece of shorthand of one clinic, what it means, and the day on which that was decided."""

    clinic: str
    written: str
    means: str
    decided: date | None
    line: int


def read_shorthand(path: Path, clinic: str) -> tuple[list[ShortWord], list[Problem]]:
    """Read a shorthand.csv; without the file there is none.

    Returns  the words, and one problem for each line that cannot be used
    """
    try:
        rows = read_rows(path, COLUMNS, f"Start the file with: {HEADING}")
    except Problem as problem:
        return [], [problem]
    rows = [(line, row) for line, row in rows if (row["means"] or "").strip() != OPEN]
    read = [_word(path, line, row, clinic) for line, row in rows]
    words = [item for item in read if isinstance(item, ShortWord)]
    return words, [item for item in read if isinstance(item, Problem)] + _written_twice(path, words)


def _word(path: Path, line: int, row: dict, clinic: str) -> ShortWord | Problem:
    where = f"{path}, line {line}"
    written, means, decided = (unguarded((row.get(name) or "").strip()) for name in (*COLUMNS, "decided"))
    if not written or not means:
        return Problem(
            where, "what is written or what it means is missing", "Fill in both, or delete the row"
        )
    try:
        day = date.fromisoformat(decided) if decided else None
    except ValueError:
        return Problem(where, f"'{decided}' is no date", "Write decided as 2024-07-05, or leave it empty")
    return ShortWord(clinic, written, means, day, line)


def _written_twice(path: Path, words: Sequence[ShortWord]) -> list[Problem]:
    first: dict[str, ShortWord] = {}
    return [
        Problem(
            f"{path}, lines {known.line} and {word.line}",
            f"'{word.written}' is given twice",
            "Keep one of them: case and accents make no difference",
        )
        for word in words
        if (known := first.setdefault(fold(word.written), word)) is not word
    ]
