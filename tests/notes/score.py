"""How well the rules read the hand-labelled notes: precision and recall by axis, with the misses.

PYTHONPATH=pipeline:tests python -m notes.score [--half HALF] [--set invented|spanish_file] [--misses] [--axis AXIS ...]

An unread half is scored only when it is asked for by name, so that nobody sees its misses by chance.
A label counts as found if axis, code, status and day all agree; results of removals are an axis of their own.
"""

import argparse
from collections import Counter
from collections.abc import Collection, Iterable
from typing import NamedTuple

from unsnag.notes import firmest, understand
from unsnag.notes.mention import FIRMEST_FIRST

from notes.labelled import AXES, BLIND, SPANISH_FILE, UNREAD, LabelledNote, invented_notes, spanish_file_notes

RESULT = "procedure_result"
HALVES = (
    "tuning", "held_out", "fresh", "last", "opened", "unseen", BLIND, "second_tuning", "second_held_out",
    "third_tuning", "fourth_tuning", *UNREAD,
)  # fmt: skip
AXIS_ORDER = (*AXES.values(), RESULT)


class Item(NamedTuple):
    """What is compared: one thing said in one note."""

    axis: str
    code: str
    status: str
    date: str


class Tally(NamedTuple):
    """Counts of one axis."""

    right: int
    invented: int
    missed: int

    @property
    def precision(self) -> float:
        found = self.right + self.invented
        return self.right / found if found else 1.0

    @property
    def recall(self) -> float:
        there = self.right + self.missed
        return self.right / there if there else 1.0


def labelled_items(note: LabelledNote) -> set[Item]:
    """What the reader said of a note."""
    items = {Item(label.axis, label.code, label.status, label.date) for label in note.labels}
    return items | {
        Item(RESULT, f"{label.code}:{label.result}", label.status, label.date)
        for label in note.labels
        if label.result
    }


def understood_items(note: LabelledNote) -> set[Item]:
    """What the rules say of a note."""
    mentions = understand(note.text, note.admission_date, date_order=note.date_order)
    said: dict[tuple[str, str, str], str] = {}
    results = set()
    for mention in sorted(firmest(mentions), key=lambda each: FIRMEST_FIRST.index(each.status)):
        date = mention.date.isoformat() if mention.date else ""
        said.setdefault((mention.axis, mention.code, date), mention.status)
        if mention.axis == "procedure" and mention.result:
            results.add(Item(RESULT, f"{mention.code}:{mention.result}", mention.status, date))
    return {Item(axis, code, status, date) for (axis, code, date), status in said.items()} | results


def tally(notes: Iterable[LabelledNote]) -> dict[str, Tally]:
    """Counts by axis over notes."""
    right, invented, missed = Counter(), Counter(), Counter()
    for note in notes:
        labelled, understood = labelled_items(note), understood_items(note)
        right.update(item.axis for item in labelled & understood)
        invented.update(item.axis for item in understood - labelled)
        missed.update(item.axis for item in labelled - understood)
    return {axis: Tally(right[axis], invented[axis], missed[axis]) for axis in AXIS_ORDER}


def _print_tally(title: str, tallies: dict[str, Tally]) -> None:
    print(f"{title:<40} right  invented  missed  precision  recall")
    for axis, counts in tallies.items():
        print(
            f"  {axis:<38} {counts.right:5}  {counts.invented:8}  {counts.missed:6}"
            f"  {counts.precision:9.3f}  {counts.recall:6.3f}"
        )


def _print_misses(notes: Iterable[LabelledNote], axes: Collection[str]) -> None:
    for note in notes:
        labelled = {each for each in labelled_items(note) if each.axis in axes}
        understood = {each for each in understood_items(note) if each.axis in axes}
        if labelled != understood:
            print(f"\n{note.note_id} {note.admission_date or ''}: {note.text}")
            for sign, items in (("invented", understood - labelled), ("missed", labelled - understood)):
                for item in sorted(items):
                    print(f"  {sign:9} {' '.join(item)}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--half", choices=HALVES)
    parser.add_argument("--set", choices=("invented", "spanish_file"))
    parser.add_argument("--misses", action="store_true")
    parser.add_argument("--axis", choices=AXIS_ORDER, action="append", help="print misses of this axis only")
    asked = parser.parse_args()
    sets = {"invented": invented_notes}
    if SPANISH_FILE.is_file():
        sets["spanish_file"] = spanish_file_notes
    else:
        print(f"The Spanish file is not at {SPANISH_FILE}: left out.")
    for name, load in sets.items():
        for half in HALVES:
            asked_for = asked.half == half or (asked.half is None and half not in UNREAD)
            if asked.set in (None, name) and asked_for:
                notes = [note for note in load() if note.half == half]
                _print_tally(f"{name}, {half}: {len(notes)} notes", tally(notes))
                if asked.misses:
                    _print_misses(notes, asked.axis or AXIS_ORDER)


if __name__ == "__main__":
    main()
