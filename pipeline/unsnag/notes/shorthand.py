"""A clinic's own shorthand, written out before a text is read: ``TTC`` as ``transferred to carer``.

What is understood still names the words that the clinic wrote, and where they stand.
"""

import re
from collections.abc import Mapping
from typing import NamedTuple

from unsnag.notes.tokens import fold


class Written(NamedTuple):
    """A text with its shorthand written out.

    text   : as the rules read it
    pieces : (start, end, place, length): what stands at [start, end) of it stood at place in the clinic's text, so
             many characters long
    """

    text: str
    pieces: tuple[tuple[int, int, int, int], ...] = ()

    def back(self, start: int, end: int) -> tuple[int, int]:
        """Where [start, end) stood in the clinic's text; a piece of shorthand stands there whole."""
        return self._place(start, is_end=False), self._place(end, is_end=True)

    def _place(self, place: int, *, is_end: bool) -> int:
        shift = 0
        for first, last, written, length in self.pieces:
            if first < place < last or (place == (last if is_end else first)):
                return written + (length if is_end else 0)
            if last <= place:
                shift = written + length - last
        return place + shift


class Shorthand:
    """Writes out a clinic's shorthand.

    meanings : what is written, whatever its case and accents, to what it means
    """

    def __init__(self, meanings: Mapping[str, str]) -> None:
        self._meanings = {fold(written): means for written, means in meanings.items()}
        longest_first = sorted(self._meanings, key=lambda written: (-len(written), written))
        self._pattern = re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, longest_first))})(?!\w)")

    def write_out(self, text: str) -> Written:
        """The text with every piece of shorthand in the place of which its meaning stands."""
        parts, pieces, done, length = [], [], 0, 0
        for match in self._pattern.finditer(fold(text)) if self._meanings else ():
            before, means = text[done : match.start()], self._meanings[match[0]]
            first = length + len(before)
            parts += [before, means]
            pieces.append((first, first + len(means), match.start(), len(match[0])))
            done, length = match.end(), first + len(means)
        return Written("".join([*parts, text[done:]]), tuple(pieces))
