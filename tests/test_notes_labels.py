"""The hand-labelled notes: how they are read, and how well the rules do on each part of them.

The goals were set before any rule was written: precision 0.95 and recall 0.85. The misses of all sets but the
unread halves have been seen and rules changed after them (GUIDE.md): what they pass here guards against falling back.
"""

import csv
import functools

import pytest
from notes.labelled import AXES, FOLDER, SPANISH_FILE, UNREAD, invented_notes, spanish_file_notes
from notes.score import RESULT, Tally, tally
from unsnag.resources import folder

PRECISION, RECALL = 0.95, 0.85
FEW = 30
VOCABULARY = {axis: axis for axis in AXES.values()} | dict.fromkeys(
    ("line_trailing", "lead", "seen_again"), "yes_no"
)
NEEDS_SPANISH_FILE = pytest.mark.skipif(
    not SPANISH_FILE.is_file(), reason=f"the published Spanish file is not at {SPANISH_FILE}"
)


@functools.cache
def part(name: str, load=invented_notes) -> dict[str, Tally]:
    return tally(note for note in load() if note.half == name)


def pooled(tallies: dict[str, Tally]) -> Tally:
    counts = [each for axis, each in tallies.items() if axis != RESULT]
    return Tally(*(sum(each[place] for each in counts) for place in range(3)))


@functools.cache
def codes(vocabulary: str) -> set[str]:
    with (folder("sql") / "codes" / f"{vocabulary}.csv").open(encoding="utf-8", newline="") as file:
        return {row["code"] for row in csv.DictReader(file)}


def test_there_are_enough_notes_and_their_ids_are_unique():
    notes = invented_notes()
    assert len({note.note_id for note in notes}) == len(notes) >= 400


def test_both_halves_are_there_and_a_note_stays_in_its_half():
    halves = {note.note_id: note.half for note in invented_notes()}
    assert {halves["terse-001"], halves["vet-001"]} <= {"tuning", "held_out"}
    assert min(list(halves.values()).count(half) for half in ("tuning", "held_out")) >= 200


def test_every_label_is_a_shared_code():
    for note in invented_notes() + (spanish_file_notes() if SPANISH_FILE.is_file() else []):
        for label in note.labels:
            assert label.code in codes(VOCABULARY[label.axis]), (note.note_id, label)


@pytest.mark.parametrize("half", ["tuning", "held_out"])
def test_precision_and_recall_by_axis(half):
    for axis, counts in part(half).items():
        enough = counts.right + counts.missed >= FEW
        if enough and axis != RESULT:
            assert counts.precision >= PRECISION, (half, axis, counts)
            assert counts.recall >= RECALL, (half, axis, counts)


@pytest.mark.parametrize("half", ["tuning", "held_out", "fresh", "last"])
def test_precision_and_recall_over_all_axes(half):
    counts = pooled(part(half))
    assert counts.precision >= PRECISION, counts
    assert counts.recall >= RECALL, counts


@pytest.mark.xfail(
    strict=True, reason="the goal is not reached on notes of another hand; GUIDE.md tells how near"
)
def test_the_goal_on_notes_of_another_hand():
    counts = Tally(*map(sum, zip(*(pooled(part(half)) for half in UNREAD), strict=True)))
    assert counts.precision >= PRECISION and counts.recall >= RECALL, counts


@NEEDS_SPANISH_FILE
@pytest.mark.parametrize("half", ["tuning", "held_out"])
def test_the_spanish_file_is_read(half):
    counts = pooled(part(half, spanish_file_notes))
    assert counts.precision >= PRECISION, counts
    assert counts.recall >= RECALL, counts


@NEEDS_SPANISH_FILE
def test_no_text_of_the_spanish_file_stands_in_the_project():
    kept = "\n".join(path.read_text("utf-8") for path in sorted(FOLDER.iterdir()) if path.is_file())
    long_enough = [note.text for note in spanish_file_notes() if len(note.text) > 25]
    assert long_enough
    assert not any(text in kept for text in long_enough)
