"""terms.csv: what a clinic's own words mean in the shared codes."""

import csv
from datetime import date
from pathlib import Path
from typing import NamedTuple

from unsnag.errors import Problem
from unsnag.workspace.fields import all_fields

COLUMNS = ("field", "term", "code")


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
    with path.open(encoding="utf-8-sig", newline="") as stream:
        reader = csv.DictReader(stream)
        missing = [name for name in COLUMNS if name not in (reader.fieldnames or [])]
        if missing:
            return [], [
                Problem(
                    str(path),
                    f"the column {', '.join(missing)} is missing",
                    "Start the file with: field,term,code,decided,note",
                )
            ]
        rows = [(reader.line_num, row) for row in reader]
    read = [_term(path, line, row, clinic, codes) for line, row in rows if any(row.values())]
    terms = [item for item in read if isinstance(item, Term)]
    return terms, [item for item in read if isinstance(item, Problem)] + _contradictions(path, terms)


def _term(path, line, row, clinic, codes) -> Term | Problem:
    vocabularies = {item.field: item.vocabulary for item in all_fields() if item.kind == "term"}
    field, code = (row["field"] or "").strip(), (row["code"] or "").strip()
    where = f"{path}, line {line}"
    if field not in vocabularies:
        return Problem(
            where, f"there is no field '{field}'", f"Use one of: {', '.join(sorted(vocabularies))}"
        )
    axis, _, bare = code.rpartition(":")
    axis = axis or field
    if axis not in vocabularies:
        return Problem(where, f"there is no axis '{axis}'", f"Use one of: {', '.join(sorted(vocabularies))}")
    if bare not in codes[vocabularies[axis]] and bare != "ignore":
        return Problem(
            where,
            f"'{bare}' is no code of {vocabularies[axis]}",
            f"Use one of: {', '.join(sorted(codes[vocabularies[axis]]))}, or ignore",
        )
    decided = (row.get("decided") or "").strip()
    try:
        day = date.fromisoformat(decided) if decided else None
    except ValueError:
        return Problem(where, f"'{decided}' is no date", "Write decided as 2024-07-05, or leave it empty")
    return Term(clinic, field, (row["term"] or "").strip(), axis, bare, day, line)


def _contradictions(path: Path, terms: list[Term]) -> list[Problem]:
    """Two rows that give one word two codes on the same axis."""
    seen: dict[tuple[str, str, str], Term] = {}
    problems = []
    for term in terms:
        key = (term.field, term.term.casefold(), term.axis)
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
