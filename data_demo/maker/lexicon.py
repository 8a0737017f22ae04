"""The clinics' words: shared code -> what this clinic writes. Rows are in words/<clinic>.csv.

A word that ends in "=" stands in the shared lists (sql/codes) already, so the clinic needs no row for it in terms.csv;
one that ends in "!" is left uncoded on purpose, so that a check has something to find.
"""

import csv
from pathlib import Path

from maker import coast

FOLDER = coast.HERE / "words"
YES_NO_FIELDS = ("line_trailing", "lead", "gear_at_release")
CLINIC_FIELDS = ("other_clinic", "transferred_to")
RARE = 0.12
DECIDED = "2025-01-13"


class Lexicon:
    """One clinic's words."""

    def __init__(self, clinic):
        self.clinic = clinic
        self.words, self.uncoded, self.typos = {}, {}, {}
        with (FOLDER / f"{clinic}.csv").open(encoding="utf-8", newline="") as file:
            self.rows = list(csv.DictReader(file))
        for row in self.rows:
            key = (row["field"], row["code"])
            words = row["words"].split("|")
            self.words[key] = [word.rstrip("=") for word in words if not word.endswith("!")]
            for word in words:
                if word.endswith("!"):
                    self.uncoded[key] = word[:-1]
            self.typos[key] = row["typos"]

    def say(self, field, code, choose):
        """The clinic's word for a code; empty for no code."""
        if not code:
            return ""
        if (field, code) in self.uncoded and choose.chance(RARE):
            return self.uncoded[field, code]
        return choose.word(self.words[field, code])

    def terms(self):
        """Rows of terms.csv: field, term, code, decided, note."""
        for row in self.rows:
            coded = [word for word in row["words"].split("|") if word[-1] not in "=!"]
            for field in _fields(row["field"]):
                for word in coded:
                    yield from (
                        (field, word, code, DECIDED, "") for code in _codes(row["field"], row["code"])
                    )
                if row["typos"]:
                    yield field, row["typos"], row["code"], DECIDED, "typing slip"


def _fields(field):
    return {"yes_no": YES_NO_FIELDS, "clinic": CLINIC_FIELDS}.get(field, (field,))


def _codes(field, code):
    """An ending is said in one word by clinics and stands on separate axes here: one code an axis."""
    if field != "outcome":
        return [code]
    outcome, _, more = code.partition("@")
    if not outcome:
        return [f"outcome_status:{more}"]
    early = [f"outcome_timing:{more}"] if more else []
    return [outcome, *early] + (["arrival:dead"] if more == "before_admission" else [])


def write_terms(clinic, path: Path):
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(["field", "term", "code", "decided", "note"])
        writer.writerows(Lexicon(clinic).terms())
