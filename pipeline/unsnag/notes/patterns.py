"""The readable patterns of the rule files, turned into regular expressions over a line of words.

word        that word, without accents, in lower case         word*     any word that begins so
a|b c|d     one of these; an alternative may be a phrase of words joined by ``_`` (``b_c``)
{list}      any word or phrase of that list in notes_words.csv
[word]      may be missing                                     #         a number             /   a weak break
..          up to three words, no break between                ...       up to ten words, commas included
``;`` between patterns: either of them.
"""

import functools
import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import NamedTuple

COMMON = "common"
MARKS = {".", "/"}
GAPS = {"..": r"(?:[^ .,]+ ){0,3}?", "...": r"(?:[^ .]+ ){0,10}?"}


@dataclass(frozen=True, slots=True)
class Pattern:
    """One alternative.

    written : the regular expression
    needs : for every element that must be there, the words (or beginnings, ending in ``*``) of which one must
            occur
    opens : the words of which one stands at the start of every match, ``#`` for any number; empty if any may
    skips : the marks before that word, 0 or 1: marks are everywhere, words are not
    words : every word and beginning in it
    is_loose : it has a gap
    """

    written: str
    needs: tuple[frozenset[str], ...]
    opens: frozenset[str]
    skips: int
    words: frozenset[str]
    is_loose: bool

    @property
    def regex(self) -> re.Pattern:
        """Matches in a line of words, each followed by a blank; to be tried where a word starts."""
        return _regular_expression(self.written)


@functools.cache
def _regular_expression(written: str) -> re.Pattern:
    """Made when a note first asks for it: all of them take seconds, and one note needs few."""
    return re.compile(written)


class Patterns:
    """Makes patterns of cells; what an element stands for is worked out once, however many cells name it.

    lists : notes_words.csv, list name -> words and phrases
    """

    def __init__(self, lists: Mapping[str, tuple[str, ...]]) -> None:
        self._lists = lists
        self._common = frozenset(lists[COMMON])
        self._known: dict[str, _Element] = {}

    def of(self, written: str) -> tuple[Pattern, ...]:
        """The alternatives of a cell.

        Raises KeyError: an unknown list; ValueError: an empty alternative
        """
        return tuple(self._pattern(alternative.split()) for alternative in written.split(";"))

    def _pattern(self, elements: list[str]) -> Pattern:
        if not elements:
            raise ValueError("an alternative between ';' is empty")
        parts, needs, words = [], [], set()
        for written in elements:
            if written in GAPS:
                parts.append(GAPS[written])
                continue
            optional = _may_be_missing(written)
            element = self._element(written[1:-1] if optional else written)
            parts.append(element.regex + ("?" if optional else ""))
            words |= element.words
            if not optional and all(map(_is_word, element.telling)):
                needs.append(element.telling)
        loose = not GAPS.keys().isdisjoint(elements)
        opens, skips = self._opening(elements)
        return Pattern("(?<= )" + "".join(parts), tuple(needs), opens, skips, frozenset(words), loose)

    def _opening(self, elements: list[str]) -> tuple[frozenset[str], int]:
        """The words that may stand first, or right behind the mark that does."""
        after_mark = self._first_words(elements[1:]) if set(elements[0].split("|")) <= MARKS else frozenset()
        return (after_mark, 1) if after_mark else (self._first_words(elements), 0)

    def _first_words(self, elements: list[str]) -> frozenset[str]:
        """Of the elements up to the first that must be there; none if a gap stands before it."""
        found: frozenset[str] = frozenset()
        for written in elements:
            if written in GAPS:
                break
            if not _may_be_missing(written):
                opens = self._element(written).opens
                return found | opens if found else opens  # the same set knows its hash: there are thousands
            found |= self._element(written[1:-1]).opens
        return frozenset()

    def _element(self, written: str) -> "_Element":
        if written not in self._known:
            phrases = _phrases(written, self._lists)
            self._known[written] = _Element(
                _alternatives(phrases),
                frozenset(word for phrase in phrases for word in phrase.split()),
                frozenset(_telling(phrase, self._common) for phrase in phrases),
                frozenset(phrase.split()[0].replace("/", ",") for phrase in phrases),
            )
        return self._known[written]


class _Element(NamedTuple):
    """One element of a pattern: its expression, its words, the telling word and the first one of each phrase."""

    regex: str
    words: frozenset[str]
    telling: frozenset[str]
    opens: frozenset[str]


def _may_be_missing(written: str) -> bool:
    return written.startswith("[") and written.endswith("]")


def _telling(phrase: str, common: Collection[str]) -> str:
    """The first word of a phrase that is not to be found everywhere."""
    words = [word for word in phrase.split() if _is_word(word)] or phrase.split()
    return next((word for word in words if word not in common), words[0])


def _is_word(word: str) -> bool:
    """Not a number, a mark or a date: what the gate finds in a note without reading it."""
    return word.strip("*").replace("'", "").isalpha()


def _phrases(element: str, lists: Mapping[str, tuple[str, ...]]) -> list[str]:
    """Every phrase that an element stands for; lists may name other lists."""
    phrases = []
    for alternative in element.split("|"):
        if alternative.startswith("{"):
            words = lists[alternative.strip("{}")]
            phrases += [phrase for word in words for phrase in _phrases(word.replace(" ", "_"), lists)]
        else:
            phrases.append(alternative.replace("_", " "))
    return phrases


def _alternatives(phrases: list[str]) -> str:
    """Longest first, so that ``fishing line`` is preferred to ``fishing``."""
    longest_first = sorted(set(phrases), key=lambda phrase: (-len(phrase), phrase))
    return f"(?:(?:{'|'.join(map(_regex, longest_first))}) )"


def _regex(phrase: str) -> str:
    return " ".join(_word(word) for word in phrase.split())


def _word(word: str) -> str:
    if word == "#":
        return r"\d[\d.,]*"
    if word == "/":
        return ","
    if word.endswith("*"):
        return re.escape(word[:-1]) + r"[^ .,]*"
    return re.escape(word)
