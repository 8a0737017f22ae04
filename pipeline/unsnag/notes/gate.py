"""The cheap gate: which patterns could match at all, from the words of a note. Most notes open few."""

from collections.abc import Collection, Iterable
from typing import NamedTuple

from unsnag.notes.bits import WordBits
from unsnag.notes.patterns import Pattern
from unsnag.notes.rules import Cue, Rule


class Entry(NamedTuple):
    """A pattern, its owner, the bits that it needs and the bit of its first word (0: any word)."""

    number: int
    needed: int
    opening: int
    owner: Rule | Cue
    pattern: Pattern


class Gate:
    """Patterns filed under the most telling set of words that each needs.

    owners : the rules or cues, in the order in which their matches are to be tried
    bits   : the bits of words, shared between gates
    common : words so frequent that no pattern is looked up by them
    """

    def __init__(self, owners: Iterable[Rule | Cue], bits: WordBits, common: Collection[str]) -> None:
        self._always: list[Entry] = []
        self._filed: dict[int, list[Entry]] = {}
        owned = ((owner, pattern) for owner in owners for pattern in owner.patterns)
        for number, (owner, pattern) in enumerate(owned):
            needed = 0
            for words in pattern.needs:
                needed |= bits.bit(words)
            entry = Entry(number, needed, bits.opening_bit(pattern.opens), owner, pattern)
            self._file(entry, bits, frozenset(common))
        self._openers = sum(self._filed)

    def _file(self, entry: Entry, bits: WordBits, common: frozenset[str]) -> None:
        if not entry.pattern.needs:
            self._always.append(entry)
            return
        telling = min(entry.pattern.needs, key=lambda words: (len(words & common), len(words)))
        self._filed.setdefault(bits.bit(telling), []).append(entry)

    def entries(self, mask: int) -> list[Entry]:
        """The patterns whose every need is met by a note with these bits, in their order."""
        found = list(self._always)
        openers = mask & self._openers
        while openers:
            bit = openers & -openers
            openers ^= bit
            found += [entry for entry in self._filed[bit] if entry.needed & mask == entry.needed]
        return sorted(found)
