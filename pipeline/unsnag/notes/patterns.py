"""The readable patterns of the rule files, turned into regular expressions over a line of words.

word        that word, without accents, in lower case         word*     any word that begins so
a|b c|d     one of these; an alternative may be a phrase of words joined by ``_`` (``b_c``)
{list}      any word or phrase of that list in notes_words.csv
[word]      may be missing                                     #         a number             /   a weak break
..          up to three words, no break between                ...       up to ten words, commas included
``;`` between patterns: either of them.
"""

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass

COMMON = "common"
GAPS = {"..": r"(?:[^ .,]+ ){0,3}?", "...": r"(?:[^ .]+ ){0,10}?"}


@dataclass(frozen=True, slots=True)
class Pattern:
    """One compiled alternative.

    regex : matches in a line of words, each followed by a blank; to be tried where a word starts
    needs : for every element that must be there, the words (or beginnings, ending in ``*``) of which one must
            occur
    opens : the words of which a match starts with one, ``#`` for any number; empty if its start may be
            missing
    words : every word and beginning in it
    is_loose : it has a gap
    """

    regex: re.Pattern
    needs: tuple[frozenset[str], ...]
    opens: frozenset[str]
    words: frozenset[str]
    is_loose: bool


def compile_patterns(written: str, lists: Mapping[str, tuple[str, ...]]) -> tuple[Pattern, ...]:
    """The compiled alternatives of a pattern cell.

    lists  : notes_words.csv, list name -> words and phrases
    Raises KeyError: an unknown list; ValueError: an empty alternative
    """
    return tuple(_compile(alternative.split(), lists) for alternative in written.split(";"))


def _compile(elements: list[str], lists: Mapping[str, tuple[str, ...]]) -> Pattern:
    if not elements:
        raise ValueError("an alternative between ';' is empty")
    parts, needs, words, opens = [], [], set(), frozenset()
    for place, element in enumerate(elements):
        if element in GAPS:
            parts.append(GAPS[element])
            continue
        optional = element.startswith("[") and element.endswith("]")
        phrases = _phrases(element[1:-1] if optional else element, lists)
        parts.append(_alternatives(phrases) + ("?" if optional else ""))
        words.update(word for phrase in phrases for word in phrase.split())
        telling = frozenset(_telling(phrase, lists[COMMON]) for phrase in phrases)
        if not optional and all(map(_is_word, telling)):
            needs.append(telling)
        if place == 0 and not optional:
            opens = frozenset(phrase.split()[0].replace("/", ",") for phrase in phrases)
    return Pattern(
        re.compile("(?<= )" + "".join(parts)),
        tuple(needs),
        opens,
        frozenset(words),
        not GAPS.keys().isdisjoint(elements),
    )


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
