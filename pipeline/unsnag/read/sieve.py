"""Where each record goes (totals, left out, refused, kept) and what of a kept one may be stored."""

from collections.abc import Callable, Iterable, Iterator
from functools import lru_cache
from operator import itemgetter

from unsnag.privacy import SHORTEST, remove_contact_details
from unsnag.read.names import column_key, column_keys, fold, unique_names
from unsnag.read.records import CutShort, Refusal
from unsnag.read.source import SourceLayout

CACHED_LENGTH = 200
CUT_SHORT = Refusal(
    "the file ends inside this record: it has fewer cells than the header row and no line end",
    "Export the file again, or end its last line",
)


@lru_cache(maxsize=1 << 16)
def _remembered(cell: str) -> str:
    return remove_contact_details(cell)


def scanned(cell: str) -> str:
    """The cell without contact details; short cells repeat, so their answer is remembered."""
    return _remembered(cell) if len(cell) <= CACHED_LENGTH else remove_contact_details(cell)


def _picker(places: list[int]) -> Callable[[list[str]], list[str]]:
    """The cells at these places as a new list."""
    if len(places) < 2:
        return lambda cells: [cells[place] for place in places]
    pick = itemgetter(*places)
    return lambda cells: list(pick(cells))


class PrivateColumns:
    """Which columns are never stored, and which of the private names were found in some file."""

    def __init__(self, layout: SourceLayout) -> None:
        self.names = {column_key(name): name for name in layout.private}
        self.found: set[str] = set()
        self.has_objects = layout.format in ("json_lines", "parquet")

    def holds(self, key: str, prefix: str = "") -> bool:
        """Whether the column is private, lies in a private object, or is an object with a private part.

        A key in a nested list is private under its own name and under 'list.key'.
        """
        matches = {
            name for name in self.names if self._matches(name, key) or self._matches(name, prefix + key)
        }
        self.found |= matches
        return bool(matches)

    def _matches(self, name: str, key: str) -> bool:
        nested = self.has_objects and (key.startswith(name + ".") or name.startswith(key + "."))
        return name == key or nested

    @property
    def never_found(self) -> list[str]:
        """Private names that no file has: a slip of the pen here would store what must not be stored."""
        return [name for key, name in self.names.items() if key not in self.found]


class Sieve:
    """Sorts the records of one table of one file, and counts what it holds back.

    header  : the file's columns; those of the row filter are among them (see header.py)
    prefix  : "list." for the table of a nested list, which the layout's column names start with
    columns : the names under which kept cells are stored
    refused : (row, refusal) of every record that cannot be stored
    """

    def __init__(
        self, layout: SourceLayout, header: Iterable[str], private: PrivateColumns, prefix: str = ""
    ) -> None:
        names = unique_names(header)
        keys = [column_key(name) for name in names]
        self.width = len(names)
        self.totals = tuple(fold(word) for word in layout.totals)
        self.only = [
            (keys.index(column_key(name)), set(map(fold, words))) for name, words in layout.only.items()
        ]
        kept = [place for place, key in enumerate(keys) if not private.holds(key, prefix)]
        plain = column_keys(layout.plain_columns)
        self.columns = tuple(names[place] for place in kept)
        self.pick = _picker(kept)
        self.free = [n for n, place in enumerate(kept) if prefix + keys[place] not in plain]
        self.totals_rows = self.left_out_rows = 0
        self.refused: list[tuple[int, Refusal]] = []

    def kept(self, rows: Iterable[tuple[int, list[str] | Refusal]]) -> Iterator[list[str]]:
        """The records to store: the row number, then the cells without private columns and contact details."""
        for row, cells in rows:
            if isinstance(cells, Refusal):
                self.refused.append((row, cells))
            elif self.totals and fold(cells[0]).startswith(self.totals):
                self.totals_rows += 1
            elif len(cells) != self.width and (refusal := self._ragged(cells)):
                self.refused.append((row, refusal))
            elif self.only and not self._wanted(cells):
                self.left_out_rows += 1
            else:
                stored = self.storable(cells)
                stored.insert(0, str(row))
                yield stored

    def storable(self, cells: list[str]) -> list[str]:
        """The cells that may be stored, without contact details where people write freely."""
        stored = self.pick(cells)
        for place in self.free:
            if len(stored[place]) >= SHORTEST:
                stored[place] = scanned(stored[place])
        return stored

    def _ragged(self, cells: list[str]) -> Refusal | None:
        """Fill up a record whose last cells are missing; refuse one that would have to be shifted."""
        if len(cells) > self.width:
            return Refusal(
                f"the record has {len(cells)} cells and the header row has {self.width}",
                "Quote the cell that holds a delimiter, or complete the header row, and export again",
            )
        if isinstance(cells, CutShort):
            return CUT_SHORT
        cells.extend([""] * (self.width - len(cells)))
        return None

    def _wanted(self, cells: list[str]) -> bool:
        return all(fold(cells[place]) in words for place, words in self.only)
