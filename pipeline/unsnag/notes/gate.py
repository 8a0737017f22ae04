"""The cheap gate: which patterns could match at all, from the words of a note.

Each set of words of which some pattern needs one is a bit. A word's bits are remembered between notes; the bits of all
words of a note, joined, tell which patterns have everything that they need. Most notes open none.
"""

from collections.abc import Collection, Iterable, Sequence
from typing import NamedTuple

from unsnag.notes.patterns import Pattern

REMEMBERED = 500_000


class Entry(NamedTuple):
    """A pattern, its owner (a rule or a cue), and the bits that it needs."""

    number: int
    needed: int
    owner: object
    pattern: Pattern


class Gate:
    """Finds the patterns that a set of words may match.

    owned  : (owner, pattern), in the order in which matches are to be tried
    common : words so frequent that a pattern is not looked up by them
    mend   : gives the word that a slip stands for
    """

    def __init__(self, owned: Iterable[tuple[object, Pattern]], common: Collection[str], mend) -> None:
        self._mend = mend
        self._bits: dict[frozenset[str], int] = {}
        self._masks: dict[str, int] = {}
        self._always: list[Entry] = []
        self._by_bit: dict[int, list[Entry]] = {}
        for number, (owner, pattern) in enumerate(owned):
            self._add(Entry(number, self._needed(pattern), owner, pattern), frozenset(common))
        self._openers = sum(self._by_bit)
        self._whole, self._beginnings = self._words()

    def _needed(self, pattern: Pattern) -> int:
        mask = 0
        for words in pattern.needs:
            mask |= self._bits.setdefault(words, 1 << len(self._bits))
        return mask

    def _add(self, entry: Entry, common: frozenset[str]) -> None:
        """File a pattern under its most telling set of words."""
        if not entry.pattern.needs:
            self._always.append(entry)
            return
        telling = min(entry.pattern.needs, key=lambda words: (len(words & common), len(words)))
        self._by_bit.setdefault(self._bits[telling], []).append(entry)

    def _words(self) -> tuple[dict[str, int], list[tuple[str, int]]]:
        whole: dict[str, int] = {}
        beginnings: dict[str, int] = {}
        for words, bit in self._bits.items():
            for word in words:
                into, key = (beginnings, word[:-1]) if word.endswith("*") else (whole, word)
                into[key] = into.get(key, 0) | bit
        return whole, sorted(beginnings.items())

    def mask(self, words: Sequence[str]) -> int:
        """The bits of all words, slips mended."""
        masks, found = self._masks, 0
        for word in words:
            mask = masks.get(word)
            found |= self._remember(word) if mask is None else mask
        return found

    def _remember(self, word: str) -> int:
        if len(self._masks) > REMEMBERED:
            self._masks.clear()
        mended = self._mend(word)
        mask = self._whole.get(mended, 0)
        for beginning, bit in self._beginnings:
            if mended.startswith(beginning):
                mask |= bit
        self._masks[word] = mask
        return mask

    def entries(self, mask: int) -> list[Entry]:
        """The patterns whose every need is met, in their order."""
        found = list(self._always)
        openers = mask & self._openers
        while openers:
            bit = openers & -openers
            openers ^= bit
            found += [entry for entry in self._by_bit[bit] if entry.needed & mask == entry.needed]
        return sorted(found)
