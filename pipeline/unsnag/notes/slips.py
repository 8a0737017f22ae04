"""Slips of the pen: a word that is no word of ours but almost one (``oesophgus``, ``enrredada``)."""

from collections import defaultdict
from collections.abc import Iterable

from rapidfuzz.distance import OSA

SHORTEST = 7
LONG = 10
REMEMBERED = 500_000


class Mender:
    """Gives the word that a slip stands for, and every other word unchanged.

    A word of seven letters may be one letter off (one wrong, missing, doubled or swapped), one of ten two;
    the first letter must be right. Real words that lie so near are listed, so that ``injected`` does not
    become ``infected``.

    known   : words of the patterns, with ``*`` where any ending will do: never mended
    targets : words that slips are mended to
    real    : words that are near a target and yet no slip
    contracted : ``couldn't`` and the like, which are often written without their apostrophe
    """

    def __init__(
        self,
        known: Iterable[str],
        targets: Iterable[str],
        real: Iterable[str],
        contracted: Iterable[str] = (),
    ) -> None:
        known = set(known)
        self._beginnings = tuple(sorted(word[:-1] for word in known if word.endswith("*")))
        self._keep = frozenset(known) | frozenset(targets) | frozenset(real)
        self._targets: dict[str, list[str]] = defaultdict(list)
        for word in sorted(targets):
            self._targets[word[0]].append(word)
        self._contracted = {word.replace("'", ""): word for word in contracted}
        self._memory: dict[str, str] = {}

    def __call__(self, word: str) -> str:
        if word in self._contracted:
            return self._contracted[word]
        if len(word) < SHORTEST - 1 or word in self._keep:
            return word
        mended = self._memory.get(word)
        if mended is None:
            if len(self._memory) > REMEMBERED:
                self._memory.clear()
            mended = self._memory[word] = self._mend(word)
        return mended

    def _mend(self, word: str) -> str:
        if word.startswith(self._beginnings):
            return word
        near = [
            (distance, target) for target in self._targets[word[0]] if (distance := _distance(word, target))
        ]
        return min(near)[1] if near else word


def _distance(word: str, target: str) -> int:
    """Letters wrong, 0 if too many."""
    allowed = 2 if len(target) >= LONG else 1
    distance = OSA.distance(word, target, score_cutoff=allowed)
    return distance if distance <= allowed else 0
