"""The readable patterns of the rule files, turned into regular expressions over a line of words.

word        that word, without accents, in lower case         word*     any word that begins so
a|b c|d     one of these; an alternative may be a phrase of words joined by ``_`` (``b_c``)
{list}      any word or phrase of that list in notes_words.csv
[word]      may be missing                                     #         a number             /   a weak break
..          up to three words, no break between                ...       up to eight words, commas included
``;`` between patterns: either of them.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass

GAPS = {"..": r"(?:[^ .,]+ ){0,3}?", "...": r"(?:[^ .]+ ){0,8}?"}


@dataclass(frozen=True, slots=True)
class Pattern:
    """One compiled alternative.

    regex : matches in a line of words, each followed by a blank
    needs : for every element that must be there, the words (or beginnings, ending in ``*``) of which one must occur
    words : every word and beginning in it
    """

    regex: re.Pattern
    needs: tuple[frozenset[str], ...]
    words: frozenset[str]


def compile_patterns(written: str, lists: Mapping[str, tuple[str, ...]]) -> tuple[Pattern, ...]:
    """The compiled alternatives of a pattern cell.

    lists  : notes_words.csv, list name -> words and phrases
    Raises KeyError: an unknown list; ValueError: an empty alternative
    """
    return tuple(_compile(alternative.split(), lists) for alternative in written.split(";"))


def _compile(elements: list[str], lists: Mapping[str, tuple[str, ...]]) -> Pattern:
    if not elements:
        raise ValueError("an alternative between ';' is empty")
    parts, needs, words = [], [], set()
    for element in elements:
        if element in GAPS:
            parts.append(GAPS[element])
            continue
        optional = element.startswith("[") and element.endswith("]")
        phrases = _phrases(element[1:-1] if optional else element, lists)
        parts.append(_alternatives(phrases) + ("?" if optional else ""))
        words.update(word for phrase in phrases for word in phrase.split())
        if not optional and all(phrase.split()[0].strip("*").isalpha() for phrase in phrases):
            needs.append(frozenset(phrase.split()[0] for phrase in phrases))
    return Pattern(re.compile("(?<= )" + "".join(parts)), tuple(needs), frozenset(words))


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
