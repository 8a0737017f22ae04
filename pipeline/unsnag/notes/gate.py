"""The cheap gate: which patterns could match at all, from the words of a note. Most notes open few."""

from collections.abc import Collection, Iterable
from typing import NamedTuple

from unsnag.notes.bits import WordBits, positions
from unsnag.notes.patterns import Pattern
from unsnag.notes.rules import Cue, Rule

COMMONER = 10


class Entry(NamedTuple):
    """A pattern, its owner, the bits that it needs and where the bit of its opening word stands (0: any word)."""

    number: int
    needed: int
    opening: int
    owner: Rule | Cue
    pattern: Pattern


class Gate:
    """Patterns filed under the most telling set of words that each needs.

    owners : the rules or cues, in the order in which their matches are to be tried
    bits   : the bits of words, shared between gates
    common : words so frequent that no pattern is looked up by them, if another is there
    frequent : words that many notes have, a tenth as frequent
    """

    def __init__(
        self,
        owners: Iterable[Rule | Cue],
        bits: WordBits,
        common: Collection[str],
        frequent: Collection[str] = (),
    ) -> None:
        self._common, self._frequent = frozenset(common), frozenset(frequent)
        self._always: list[Entry] = []
        self._filed: dict[int, list[Entry]] = {}
        self._telling = 0
        owned = ((owner, pattern) for owner in owners for pattern in owner.patterns)
        for number, (owner, pattern) in enumerate(owned):
            sets = (*pattern.needs, *self._beside(owner))
            needed = 0
            for words in sets:
                needed |= bits.bit(words)
            self._file(Entry(number, needed, bits.opening(pattern.opens), owner, pattern), sets, bits)

    def _beside(self, owner: Rule | Cue) -> tuple[frozenset[str], ...]:
        """The words of which a note must have one because the rule needs something beside itself."""
        patterns = getattr(owner, "needs", ())
        if not patterns or not all(pattern.needs for pattern in patterns):
            return ()
        rarest = (min(pattern.needs, key=self._frequency) for pattern in patterns)
        return (frozenset().union(*rarest),)

    def _file(self, entry: Entry, sets: Collection[frozenset[str]], bits: WordBits) -> None:
        if not sets:
            self._always.append(entry)
            return
        telling = min(sets, key=self._frequency)
        self._telling |= bits.bit(telling)
        self._filed.setdefault(bits.bit(telling).bit_length(), []).append(entry)

    def _frequency(self, words: frozenset[str]) -> tuple[int, int]:
        """How often a note has one of some words, roughly: for comparison only."""
        return COMMONER * len(words & self._common) + len(words & self._frequent), len(words)

    def entries(self, mask: int) -> list[Entry]:
        """The patterns whose every need is met by a note with these bits, in their order."""
        found, lacking = list(self._always), ~mask
        for position in positions(mask & self._telling):
            found += [entry for entry in self._filed[position] if not entry.needed & lacking]
        return sorted(found)
