"""Words as bits: each set of words of which some pattern needs one is a bit.

The bits of a word are remembered between notes; those of all words of a note, joined, tell which patterns
have everything that they need (``gate.py``).
"""

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence

REMEMBERED = 500_000
ANY_NUMBER = "31"


def positions(mask: int) -> Iterator[int]:
    """Where the bits of a mask stand, the lowest first, from 1: small numbers are quicker keys than masks."""
    while mask:
        bit = mask & -mask
        mask ^= bit
        yield bit.bit_length()


class WordBits:
    """The bits of words, slips mended.

    Sets of words are given first, with ``bit`` and ``opening``; ``*`` at the end of a word stands for any
    ending, ``#`` for any number. After ``settle`` words may be asked about.
    """

    def __init__(self, mend: Callable[[str], str]) -> None:
        self._mend = mend
        self._bits: dict[frozenset[str], int] = {}
        self._openings = 0
        self._known: dict[str, tuple[int, tuple[int, ...]]] = {}

    def bit(self, words: frozenset[str]) -> int:
        """The bit of a set of words."""
        return self._bits.setdefault(words, 1 << len(self._bits))

    def opening(self, words: frozenset[str]) -> int:
        """Where the bit of words stands with which a pattern starts; 0 if it may start with any word."""
        if not words:
            return 0
        self._openings |= self.bit(words)
        return self.bit(words).bit_length()

    def settle(self) -> None:
        """No more sets will come."""
        whole: dict[str, int] = {}
        beginnings: dict[str, int] = {}
        for words, bit in self._bits.items():
            for word in words:
                into, key = (beginnings, word[:-1]) if word.endswith("*") else (whole, word)
                into[key] = into.get(key, 0) | bit
        self._whole, self._beginnings = whole, sorted(beginnings.items())
        self._any_beginning = tuple(sorted(beginnings))

    def mask(self, words: Sequence[str]) -> int:
        """The bits of all words together."""
        known, found = self._known, 0
        for word in words:
            found |= (known.get(word) or self._remember(word))[0]
        return found

    def starts(self, words: Sequence[str]) -> dict[int, list[int]]:
        """For each opening of a pattern, where its words stand."""
        known, starts = self._known, defaultdict(list)
        for place, word in enumerate(words):
            for opening in (known.get(word) or self._remember(word))[1]:
                starts[opening].append(place)
        return starts

    def _remember(self, word: str) -> tuple[int, tuple[int, ...]]:
        """All bits of a word, and apart where those stand with which patterns open."""
        if word.isdigit() and len(word) > len(ANY_NUMBER):
            # No pattern names so long a number, and there are too many of them to remember.
            return self._known.get(ANY_NUMBER) or self._remember(ANY_NUMBER)
        if len(self._known) > REMEMBERED:
            self._known.clear()
        mask = self._bits_of(self._mend(word))
        self._known[word] = mask, tuple(positions(mask & self._openings))
        return self._known[word]

    def _bits_of(self, word: str) -> int:
        mask = self._whole.get(word, 0)
        if word[0].isdigit():
            mask |= self._whole.get("#", 0)
        if word.startswith(self._any_beginning):
            for beginning, bit in self._beginnings:
                if word.startswith(beginning):
                    mask |= bit
        return mask
