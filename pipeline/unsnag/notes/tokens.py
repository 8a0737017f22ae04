"""A note as words: folded, slips mended, punctuation reduced to what carries meaning, offsets kept.

Rules are matched on ``Words.line``: every word, mended and without accents, between single blanks. Sentence
ends become ``.``, weaker breaks ``,``, a calendar day ``<date>``. Each word still knows where it stood in the
note.
"""

import itertools
import re
import unicodedata
from bisect import bisect_right
from collections.abc import Callable, Collection
from dataclasses import dataclass

from unsnag.notes.dates import DATE, MAY_BE_DATE, read_when

COMBINING = "\u0300"
WORD = rf"[a-z{COMBINING}]+(?:'[a-z{COMBINING}]+)?"
WITHOUT_DATES = (
    rf"(?P<short>(?<![a-z])s/(?= ?[a-z]{{4}}))|(?P<word>{WORD})|(?P<number>\d+(?:st|nd|rd|th)\b|\d+(?:[.,]\d+)*)"
    r"|(?P<end>[.;!\n]+)|(?P<query>[?¿]+)|(?P<mark>[-=]+>|[^\s\w'\"“”?¿])"
)
TOKEN = re.compile(WITHOUT_DATES)
TOKEN_OR_DATE = re.compile(f"(?P<date>{DATE})|{WITHOUT_DATES}")
BARE_WORD = re.compile(WORD)
BREAKS = (".", ",")
REMEMBERED = 500_000
SAID_BY = {"&": "and", "+": "and", "<": "below", ">": "above", "†": "died"}
SHORT = {"s/": "sin"}  # s/ lesiones
MAY_SAY = (*SAID_BY.items(), *SHORT.items(), ("#", "fracture"), ("/", "and"))
SILENT = ":@%*_~^¡"
BLANKED = "[removed]"
SILENCE = "~" * len(BLANKED)


def _folding() -> dict[int, str]:
    """One lower-case letter without accent for each letter: folding must not move any offset."""
    table = dict.fromkeys(range(0x300, 0x370), COMBINING)
    for code in range(0x41, 0x250):
        plain = unicodedata.normalize("NFD", chr(code))[0].lower()
        table[code] = plain if len(plain) == 1 else chr(code)
    return table | {ord("µ"): "u", ord("μ"): "u", ord("’"): "'"}


FOLDING = _folding()


def fold(text: str) -> str:
    """Lower case without accents, of exactly the same length; a blanked contact detail says nothing."""
    return text.replace(BLANKED, SILENCE).translate(FOLDING)


def bare_words(folded: str) -> list[str]:
    """The words of a folded text and those that its punctuation may stand for: for the gate."""
    words = BARE_WORD.findall(folded)
    words += [word for mark, word in MAY_SAY if mark in folded]
    return words


@dataclass(frozen=True, slots=True)
class Words:
    """The words of one note.

    words  : the mended word, ``.``, ``,``, ``?``, a number or ``<date>``
    spans  : where each stands in the note, first character and the one after the last
    line   : the words between single blanks, with a blank at both ends
    places : where each word starts in ``line``
    """

    words: list[str]
    spans: list[tuple[int, int]]
    line: str
    places: list[int]

    def span(self, first: int, match: re.Match) -> tuple[int, int]:
        """The words [first, after last) of a match that starts with a word, without breaks at its ends."""
        last = bisect_right(self.places, match.end() - 1, first)
        while first < last - 1 and self.words[first] in BREAKS:
            first += 1
        while first < last - 1 and self.words[last - 1] in BREAKS:
            last -= 1
        return first, last

    def stands(self, first: int, last: int) -> tuple[int, int]:
        """Where the words [first, last) stand in the note, characters."""
        return self.spans[first][0], self.spans[last - 1][1]

    def sentence(self, word: int) -> tuple[int, int]:
        """The words [first, after last) of the sentence in which a word stands."""
        first = last = word
        while first and self.words[first - 1] != ".":
            first -= 1
        while last < len(self.words) and self.words[last] != ".":
            last += 1
        return first, last

    def part(self, first: int, last: int) -> str:
        """The line of some of the words, with a blank at both ends."""
        return f" {self.said(first, last)} "

    def said(self, first: int, last: int) -> str:
        """Some of the words, as the rules see them."""
        return " ".join(self.words[first:last])


class Tokeniser:
    """Turns folded notes into words.

    mend          : gives the word that a slip stands for
    abbreviations : a full stop after one of them ends no sentence unless a capital follows
    titles        : a full stop after one of them never ends a sentence
    """

    def __init__(
        self,
        mend: Callable[[str], str],
        abbreviations: Collection[str] = (),
        titles: Collection[str] = (),
    ) -> None:
        self._mend = mend
        self._abbreviations = abbreviations
        self._titles = titles
        self._known = {",": ","}

    def read(self, folded: str, written: str = "") -> Words:
        """The words of a folded note; a full stop is put at either end, so that rules can ask for one.

        written : the note before folding, whose capitals tell where a sentence begins
        """
        words, spans, known = ["."], [(0, 0)], self._known
        pattern = TOKEN_OR_DATE if MAY_BE_DATE.search(folded) else TOKEN
        for match in pattern.finditer(folded):
            said = known.get(match[0])
            if said:
                if not (said == "," == words[-1]):
                    words.append(said)
                    spans.append(match.span())
                continue
            for word in self._said_by(match, folded, words, written):
                if not (word == words[-1] and word in BREAKS):
                    words.append(word)
                    spans.append(match.span())
        if words[-1] != ".":
            words.append(".")
            spans.append((len(folded), len(folded)))
        lengths = map(len, words[:-1])
        places = list(itertools.accumulate(lengths, lambda place, length: place + length + 1, initial=1))
        return Words(words, spans, f" {' '.join(words)} ", places)

    def _said_by(self, match: re.Match, folded: str, before: list[str], written: str) -> tuple[str, ...]:
        kind, token = match.lastgroup, match.group()
        if kind == "word":
            return (self._remember(token),)
        if kind == "short":
            return (SHORT[token],)
        if kind == "number":
            return (token,)
        if kind == "date":
            return ("<date>",) if read_when(token) else (token,)
        if kind == "query":
            return ("?", ".") if _ends_a_question(match, folded) else ("?",)
        if kind == "end":
            return () if token == "." and self._shortens(before[-1], written, match.end()) else (".",)
        mark = _mark(token, match.start(), folded)
        return (mark,) if mark else ()

    def _shortens(self, word: str, written: str, end: int) -> bool:
        """Whether a full stop only shortens its word."""
        if word in self._abbreviations:
            return not written[end : end + 2].lstrip(" ")[:1].isupper()
        return word in self._titles

    def _remember(self, token: str) -> str:
        """Words say the same everywhere: most of a note is words seen before."""
        if len(self._known) > REMEMBERED:
            self._known = {",": ","}
        word = self._known[token] = self._mend(token.replace(COMBINING, ""))
        return word


def _ends_a_question(match: re.Match, folded: str) -> bool:
    """``hook? none felt``, not ``?hook`` and not ``hook ?left``."""
    after = folded[match.end() : match.end() + 1]
    return folded[match.start() - 1 : match.start()].isalnum() and not after.isalnum()


def _mark(mark: str, place: int, folded: str) -> str:
    """What a punctuation mark says: a word, a break, or nothing."""
    left, right = folded[place - 1 : place], folded[place + 1 : place + 2]
    if mark in SAID_BY:
        return SAID_BY[mark]
    if mark == "#":
        return "" if right.isdigit() else "fracture"
    if mark == "/":
        return "" if _single_letter(folded, place) else "and"
    if mark in "-–" and left.isalnum() and right.isalnum():
        return ""
    return "" if mark in SILENT else ","


def _single_letter(folded: str, place: int) -> bool:
    """Whether a slash stands beside a lone letter, as in w/o, c/o, r/v."""
    left, right = folded[max(place - 2, 0) : place], folded[place + 1 : place + 3]
    return not left.isalpha() or len(left) == 1 or not right.isalpha() or len(right) == 1
