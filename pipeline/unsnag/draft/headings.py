"""What a column's heading says: compared with sql/codes/heading_words.csv, in English and Spanish."""

import csv
import re
from functools import cache

from rapidfuzz import fuzz

from unsnag import resources
from unsnag.read.names import fold
from unsnag.workspace.fields import all_fields

PRIVATE = "private"
UNITS = re.compile(
    r"[(\[]\s*(kg|g|gr|grams?|lbs?|oz|m|cm|mm|km|µg/dl|ug/dl)\s*[)\]]|(?:^|[ _])(kg|g|lbs?|oz)$"
)
SIGNS = re.compile(r"[\s_.:;()\[\]*#?/\\-]+")
ZONE = re.compile(r"\b(utc|gmt|zulu)\b")
CLOSE, DATED = 84, 0.65


@cache
def heading_words() -> dict[tuple[str, str], tuple[str, ...]]:
    """(record, field) → headings, folded and without signs; private columns have the record 'private'."""
    path = resources.folder("sql") / "codes" / "heading_words.csv"
    with path.open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    return {
        (row["record"], row["field"]): tuple(
            dict.fromkeys(_signless(word) for word in row["headings"].split("|"))
        )
        for row in rows
    }


def bare(heading: str) -> str:
    """A heading as headings are compared: folded, signs as blanks, its unit aside."""
    return _signless(UNITS.sub(" ", fold(heading))) or _signless(heading)


def _signless(heading: str) -> str:
    return ZONE.sub("", SIGNS.sub(" ", fold(heading))).strip() or fold(heading)


def unit_of(heading: str) -> str:
    """The unit of mass that a heading names, or ''."""
    found = UNITS.search(fold(heading))
    unit = (found[1] or found[2]) if found else ""
    return {
        "kg": "kg",
        "g": "g",
        "gr": "g",
        "gram": "g",
        "grams": "g",
        "lb": "lb",
        "lbs": "lb",
        "oz": "oz",
    }.get(unit, "")


def likeness(heading: str, record: str, field: str) -> float:
    """How much a heading speaks for a field: 1 for a known heading, less for one that contains or resembles it."""
    forms = {bare(heading), _signless(heading)}
    known = heading_words().get((record, field), ())
    if field == "case_number" and record != "stay":
        known += heading_words()["stay", field]
    return max((_likeness(said, word) for said in forms for word in known), default=0.0)


def _likeness(said: str, known: str) -> float:
    if said == known or said.replace(" ", "") == known.replace(" ", ""):
        return 1.0
    told, words = said.split(), known.split()
    if set(words) <= set(told):
        return 0.5 + 0.35 * len(words) / len(told)
    ratio = fuzz.ratio(said, known)
    return 0.8 * ratio / 100 if ratio >= CLOSE and len(known) >= 5 else 0.0


def names_utc(heading: str) -> bool:
    """Whether a heading says that its stamps are in UTC."""
    return ZONE.search(SIGNS.sub(" ", fold(heading))) is not None


def speaks_of_days(heading: str) -> bool:
    """Whether a heading is one of a field that holds days."""
    dated = [(item.record, item.field) for item in all_fields() if item.kind == "date"]
    return any(likeness(heading, record, field) >= DATED for record, field in dated)


def private_likeness(heading: str) -> float:
    """How much a heading speaks for personal data."""
    fields = [field for record, field in heading_words() if record == PRIVATE]
    return max(likeness(heading, PRIVATE, field) for field in fields)
