"""terms.csv: what a clinic's own words mean in the shared codes."""

import csv
from collections.abc import Iterable, Mapping
from datetime import date
from io import StringIO
from pathlib import Path
from typing import NamedTuple

from unsnag.csv_text import unguarded
from unsnag.errors import Problem
from unsnag.read.names import fold
from unsnag.workspace.fields import all_fields, suggestion

COLUMNS = ("field", "term", "code")
OPEN = "?"  # the code of a draft: its word stays unmapped until somebody decides


class Term(NamedTuple):
    """One word of one clinic: in which field it stands, the axis it fills, the shared code."""

    clinic: str
    field: str
    term: str
    axis: str
    code: str
    decided: date | None
    line: int


def read_terms(path: Path, clinic: str, codes: dict[str, frozenset[str]]) -> tuple[list[Term], list[Problem]]:
    """Read a terms.csv.

    codes : vocabulary → its codes
    Returns  terms, and one problem for each line that cannot be used
    """
    if not path.is_file():
        return [], []
    try:
        rows = _rows(path)
    except Problem as problem:
        return [], [problem]
    rows = [(line, row) for line, row in rows if any(row.values()) and (row["code"] or "").strip() != OPEN]
    read = [_term(path, line, row, clinic, codes) for line, row in rows]
    terms = [item for item in read if isinstance(item, Term)]
    return terms, [item for item in read if isinstance(item, Problem)] + _contradictions(path, terms)


def _rows(path: Path) -> list[tuple[int, dict]]:
    """(line, row) of a terms.csv.

    Raises  Problem: it is no such file
    """
    try:
        reader = csv.DictReader(StringIO(path.read_text(encoding="utf-8-sig"), newline=""), strict=True)
        missing = [name for name in COLUMNS if name not in (reader.fieldnames or [])]
        if missing:
            what = f"the column {', '.join(missing)} is missing"
            raise Problem(str(path), what, "Start the file with: field,term,code,decided,note")
        return [(reader.line_num, row) for row in reader]
    except UnicodeDecodeError:
        raise Problem(str(path), "the file is not in UTF-8", "Save it as 'CSV UTF-8'") from None
    except csv.Error as error:
        where = f"{path}, line {reader.line_num + 1}"
        raise Problem(
            where, f"the row cannot be read: {error}", "Look for a quote mark that is not closed"
        ) from None


def _term(path, line, row, clinic, codes) -> Term | Problem:
    vocabularies = {item.field: item.vocabulary for item in all_fields() if item.kind == "term"}
    field, word, code = ((row[name] or "").strip() for name in COLUMNS)
    word = unguarded(word)
    where = f"{path}, line {line}"
    if field not in vocabularies:
        return Problem(where, f"there is no field '{field}'", suggestion(field, vocabularies))
    if not word:
        return Problem(where, "there is no term", "Write the clinic's word under term, or delete the row")
    if not code:
        return Problem(
            where, f"'{word}' has no code", "Fill in the code, or 'ignore' if the word says nothing"
        )
    axis, _, bare = code.rpartition(":")
    axis = axis or field
    if axis not in vocabularies:
        return Problem(where, f"there is no axis '{axis}'", suggestion(axis, vocabularies))
    if bare not in codes[vocabularies[axis]] and bare != "ignore":
        return Problem(
            where,
            f"'{bare}' is no code of {vocabularies[axis]}",
            suggestion(bare, {*codes[vocabularies[axis]], "ignore"}),
        )
    decided = (row.get("decided") or "").strip()
    try:
        day = date.fromisoformat(decided) if decided else None
    except ValueError:
        return Problem(where, f"'{decided}' is no date", "Write decided as 2024-07-05, or leave it empty")
    return Term(clinic, field, word, axis, bare, day, line)


def withdrawn(
    folder: Path, terms: Iterable[Term], ends: Mapping[tuple[str, str], date], day: date
) -> list[Problem]:
    """Terms whose code may not be used any more on a day.

    ends : (vocabulary, code) → its last day
    """
    vocabularies = {item.field: item.vocabulary for item in all_fields()}
    found = [(term, ends.get((vocabularies[term.axis], term.code))) for term in terms]
    return [
        Problem(
            f"{folder / 'clinics' / term.clinic / 'terms.csv'}, line {term.line}",
            f"the code {term.code} of {vocabularies[term.axis]} was withdrawn after {end}",
            "Choose another code: unsnag fields " + term.axis,
        )
        for term, end in found
        if end is not None and end < day
    ]


def _contradictions(path: Path, terms: list[Term]) -> list[Problem]:
    """Two rows that give one word two codes on the same axis."""
    seen: dict[tuple[str, str, str], Term] = {}
    problems = []
    for term in terms:
        key = (term.field, fold(term.term), term.axis)
        first = seen.setdefault(key, term)
        if first.code != term.code:
            problems.append(
                Problem(
                    f"{path}, lines {first.line} and {term.line}",
                    f"'{term.term}' is coded both {first.code} and {term.code}",
                    "Keep one of them",
                )
            )
    return problems
