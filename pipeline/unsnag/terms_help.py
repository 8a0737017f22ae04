"""Suggestions for words without a code: what other clinics decided, the shared words in English and Spanish, spelling.

A suggestion is never applied: it is written beside its word for the steward to accept.
"""

import csv
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from io import StringIO
from pathlib import Path
from typing import NamedTuple

from rapidfuzz import fuzz, process

from unsnag.csv_text import csv_text, unguarded
from unsnag.read.names import fold
from unsnag.workspace.fields import all_fields
from unsnag.workspace.terms import OPEN, Term

HEADING = ("field", "term", "code", "decided", "note")
SPELT_LIKE, SPELT_FROM, CONTAINS_FROM, SUGGESTED = 84, 5, 3, 3


class Word(NamedTuple):
    """A clinic's word without a code, and how many records have it."""

    field: str
    term: str
    times: int


class Suggestion(NamedTuple):
    """A code as terms.csv writes it ("axis:code" on another axis), and why."""

    code: str
    why: str


class Helper:
    """Looks up words. codes : vocabulary → folded word → code; terms : what the clinics have decided."""

    def __init__(self, codes: Mapping[str, Mapping[str, str]], terms: Iterable[Term]):
        self.codes = codes
        self.terms = tuple(terms)
        self.vocabularies = {item.field: item.vocabulary for item in all_fields() if item.kind == "term"}

    @cached_property
    def decided(self) -> dict[tuple[str, str], list[Term]]:
        """(field, folded word) → the decisions of all clinics."""
        found: dict[tuple[str, str], list[Term]] = {}
        for term in self.terms:
            found.setdefault((term.field, fold(term.term)), []).append(term)
        return found

    def suggestions(self, clinic: str, word: Word) -> list[Suggestion]:
        """The best codes for a word of a clinic, the best first; none is a possible answer too."""
        found = [
            *self._of_other_clinics(clinic, word),
            *self._of_other_axes(word),
            *self._contained(word),
            *self._spelt_like(clinic, word),
        ]
        first: dict[str, Suggestion] = {}
        for suggestion in found:
            first.setdefault(suggestion.code, suggestion)
        return list(first.values())[:SUGGESTED]

    def _of_other_clinics(self, clinic: str, word: Word) -> list[Suggestion]:
        """What others decided for the same word, most clinics first."""
        terms = [
            term for term in self.decided.get((word.field, fold(word.term)), []) if term.clinic != clinic
        ]
        counts = Counter(_as_code(term) for term in terms)
        return [
            Suggestion(code, f"so decided by {times} other clinic{'s' if times > 1 else ''}")
            for code, times in sorted(counts.items(), key=lambda item: (-item[1], item[0]))
        ]

    def _of_other_axes(self, word: Word) -> list[Suggestion]:
        """A shared word of another axis: "swallowed hook" in the column of causes is a way of injuring."""
        folded, own = fold(word.term), self.vocabularies[word.field]
        axes = [axis for axis, vocabulary in self.vocabularies.items() if axis == vocabulary != own]
        return [
            Suggestion(f"{axis}:{self.codes[axis][folded]}", f"a shared word of {axis}")
            for axis in axes
            if axis in RELATED.get(word.field, ()) and folded in self.codes.get(axis, {})
        ]

    def _contained(self, word: Word) -> list[Suggestion]:
        """A shared word that stands whole in the clinic's ("hook swallowed, deep" holds "hook swallowed")."""
        said = f" {_spaced(word.term)} "
        known = self.codes.get(self.vocabularies[word.field], {})
        held = [shared for shared in known if len(shared) >= CONTAINS_FROM and f" {_spaced(shared)} " in said]
        held.sort(key=lambda shared: (-len(shared), shared))
        return [Suggestion(known[shared], f"holds '{shared}'") for shared in held[:SUGGESTED]]

    def _spelt_like(self, clinic: str, word: Word) -> list[Suggestion]:
        """A word that differs by a slip of the pen, of the shared list or of a clinic's decisions."""
        folded = fold(word.term)
        if len(folded) < SPELT_FROM:
            return []
        known = dict(self.codes.get(self.vocabularies[word.field], {}))
        known |= {
            term: _as_code(decisions[0])
            for (field, term), decisions in self.decided.items()
            if field == word.field and term != folded
        }
        near = process.extract(
            folded, sorted(known), scorer=fuzz.ratio, score_cutoff=SPELT_LIKE, limit=SUGGESTED
        )
        return [Suggestion(known[shared], f"spelt like '{shared}'") for shared, _, _ in near]


# Axes that a field's words may fill as well (2_standard/word_codes.sql).
RELATED = {
    "cause": ("injury", "gear", "hook_kind", "body_site", "lead"),
    "injury": ("cause", "gear", "body_site", "severity"),
    "gear": ("injury", "cause", "hook_kind", "body_site"),
    "outcome": ("outcome_timing", "outcome_status", "arrival", "euthanasia_reason"),
    "arrival": ("outcome", "outcome_timing"),
    "outcome_status": ("outcome",),
    "species": ("life_stage",),
    "procedure": ("procedure_result",),
}


def _spaced(text: str) -> str:
    """A text's words with one blank between, signs aside."""
    return " ".join("".join(sign if sign.isalnum() else " " for sign in fold(text)).split())


def _as_code(term: Term) -> str:
    return term.code if term.axis == term.field else f"{term.axis}:{term.code}"


def open_words(connection) -> dict[str, list[Word]]:
    """Clinic → its words without a code in a store, most records first."""
    rows = connection.execute(
        "select clinic, field, word, times from standard.coded_words where code = 'unmapped' "
        "order by clinic, times desc, field, word"
    ).fetchall()
    found: dict[str, list[Word]] = {}
    for clinic, field, word, times in rows:
        found.setdefault(clinic, []).append(Word(field, word, times))
    return found


def shared_codes(connection) -> dict[str, dict[str, str]]:
    """Vocabulary → folded word → code, of a store."""
    codes: dict[str, dict[str, str]] = {}
    for vocabulary, word, code in connection.execute(
        "select vocabulary, word, code from codes.words order by all"
    ).fetchall():
        codes.setdefault(vocabulary, {})[word] = code
    return codes


def draft_rows(helper: Helper, clinic: str, words: Sequence[Word]) -> list[tuple[str, ...]]:
    """Rows of terms.csv still to be decided: the code is '?', the note says how often and what it may mean.

    Words that differ in case, accents or blanks only are one row.
    """
    together: dict[tuple[str, str], Word] = {}
    for word in words:
        key = (word.field, fold(word.term))
        first = together.get(key)
        together[key] = first._replace(times=first.times + word.times) if first else word
    ordered = sorted(together.values(), key=lambda word: (-word.times, word.field, word.term))
    return [
        (word.field, word.term, OPEN, "", note(word, helper.suggestions(clinic, word))) for word in ordered
    ]


def note(word: Word, suggestions: Sequence[Suggestion]) -> str:
    """How many records have the word, and what it may mean."""
    records = f"{word.times} record{'s' if word.times != 1 else ''}"
    if not suggestions:
        return records
    return f"{records}; perhaps " + " or ".join(f"{code} ({why})" for code, why in suggestions)


def write_rows(path: Path, rows: Sequence[Sequence[str]]) -> int:
    """Append rows to a terms.csv, made with its heading if it is missing; words that have a row are left out.

    Returns  how many were written
    """
    heading, there = HEADING, set()
    text = path.read_text(encoding="utf-8-sig") if path.is_file() else ""
    if text.strip():
        reader = csv.DictReader(StringIO(text, newline=""))
        heading = tuple(reader.fieldnames or HEADING)
        there = {(row["field"], fold(unguarded(row["term"] or ""))) for row in reader}
    new = [row for row in rows if (row[0], fold(row[1])) not in there]
    given = [dict(zip(HEADING, row, strict=True)) for row in new]
    added = csv_text([cells.get(name, "") for name in heading] for cells in given)
    with path.open("a", encoding="utf-8", newline="") as stream:
        if not text.strip():
            stream.write(csv_text([heading]))
        elif not text.endswith("\n"):
            stream.write("\n")
        stream.write(added)
    return len(new)
