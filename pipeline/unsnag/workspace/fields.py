"""The model of what a clinic can give: sql/codes/fields.csv."""

import csv
from collections.abc import Iterable
from functools import cache
from typing import NamedTuple

from rapidfuzz import process

from unsnag import resources

RECORDS = ("stay", "gear_item", "procedure", "finding")
CHILD_RECORDS = RECORDS[1:]


class FieldOfRecord(NamedTuple):
    """One field: which record has it, what kind of value it is, whose codes it speaks."""

    record: str
    field: str
    kind: str
    vocabulary: str


@cache
def all_fields() -> tuple[FieldOfRecord, ...]:
    """Every field of the model, in the file's order."""
    path = resources.folder("sql") / "codes" / "fields.csv"
    with path.open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    return tuple(FieldOfRecord(row["record"], row["field"], row["kind"], row["vocabulary"]) for row in rows)


def field_names(record: str) -> tuple[str, ...]:
    """The fields of one record."""
    return tuple(item.field for item in all_fields() if item.record == record)


def kinds(record: str) -> dict[str, str]:
    """Field → kind of value, for one record."""
    return {item.field: item.kind for item in all_fields() if item.record == record}


def suggestion(word: str, choices: Iterable[str]) -> str:
    """What to write in place of an unknown word: the nearest choice, or all of them if none is near."""
    choices = sorted(choices)
    near = process.extractOne(word, choices, score_cutoff=70)
    return f"Did you mean '{near[0]}'?" if near else f"Use one of: {', '.join(choices)}"
