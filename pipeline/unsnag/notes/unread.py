"""Which short words of a clinic's texts no rule knows: drafts of its shorthand, for somebody who knows to fill in."""

import re
from collections import Counter
from collections.abc import Iterable
from typing import NamedTuple

from unsnag.notes.read import Reader
from unsnag.notes.tokens import fold

WORD = re.compile(r"(?<![\w'/.-])[^\W\d_]{2,6}(?![\w'-])")
VOWELS = set("aeiouy")
SHORT = 4
AROUND = 25


class Unread(NamedTuple):
    """A short word, in how many texts it stands, and the words around it in the first of them."""

    written: str
    texts: int
    example: str


def unread_short_words(texts: Iterable[str], reader: Reader, fewest: int = 2) -> list[Unread]:
    """Words in capitals, or of few letters and no vowel, that no rule knows: most texts first.

    texts  : a clinic's texts, each once
    fewest : texts in which a word must stand
    """
    counts: Counter[str] = Counter()
    spelt: dict[str, Counter[str]] = {}
    examples: dict[str, str] = {}
    for text in texts:
        has_small_letters = any(map(str.islower, text))
        found = {}
        for match in WORD.finditer(text):
            word = match[0]
            is_capital = word.isupper() and has_small_letters
            is_bare = len(word) <= SHORT and VOWELS.isdisjoint(fold(word))
            if (is_capital or is_bare) and not reader.knows(fold(word)):
                found.setdefault(fold(word), match)
        for key, match in found.items():
            counts[key] += 1
            spelt.setdefault(key, Counter())[match[0]] += 1
            examples.setdefault(key, _around(text, *match.span()))
    rows = [
        Unread(min(spelt[key].items(), key=lambda item: (-item[1], item[0]))[0], texts, examples[key])
        for key, texts in counts.items()
        if texts >= fewest
    ]
    return sorted(rows, key=lambda row: (-row.texts, row.written))


def _around(text: str, start: int, end: int) -> str:
    return " ".join(text[max(start - AROUND, 0) : end + AROUND].split())
