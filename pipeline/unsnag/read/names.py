"""Column names as they are stored and compared, and words as they are compared."""

import unicodedata
from collections.abc import Iterable
from functools import lru_cache

RESERVED = ("_file", "_row", "_item")


def collapsed(text: str) -> str:
    """Trimmed, every run of blanks (line ends in header cells too) as one space."""
    return " ".join(text.split())


@lru_cache(maxsize=4096)
def column_key(name: str) -> str:
    """What two spellings of one column have in common; DuckDB too takes 'Weight' and 'weight' for one name."""
    return collapsed(name).lower()


def column_keys(names: Iterable[str]) -> frozenset[str]:
    """The keys of several columns."""
    return frozenset(column_key(name) for name in names)


@lru_cache(maxsize=4096)
def fold(text: str) -> str:
    """A word as the project compares words: trimmed, blanks collapsed, case folded, accents stripped."""
    decomposed = unicodedata.normalize("NFKD", collapsed(text).casefold())
    return "".join(sign for sign in decomposed if not unicodedata.combining(sign))


def unique_names(cells: Iterable[str]) -> tuple[str, ...]:
    """Header cells → column names: an empty one is 'column N', a repeated one gets ' (2)', ' (3)' …"""
    taken = set(RESERVED)
    names = []
    for position, cell in enumerate(cells, start=1):
        stem = collapsed(cell) or f"column {position}"
        name, repeat = stem, 1
        while column_key(name) in taken:
            repeat += 1
            name = f"{stem} ({repeat})"
        taken.add(column_key(name))
        names.append(name)
    return tuple(names)
