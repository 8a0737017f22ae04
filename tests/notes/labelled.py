"""The hand-labelled notes: read, checked and split once into a tuning and a held-out half (GUIDE.md)."""

import csv
import datetime
import hashlib
import os
import re
from dataclasses import dataclass
from pathlib import Path

FOLDER = Path(__file__).resolve().parent
REFERENCE = Path(os.environ.get("UNSNAG_REFERENCE", FOLDER.parents[2] / "shared" / "reference"))
SPANISH_FILE = REFERENCE / "data" / "tenerife_turtles" / "demo_tortugas.csv"

AXES = {
    "gear": "gear",
    "kind": "hook_kind",
    "injury": "injury",
    "site": "body_site",
    "trailing": "line_trailing",
    "lead": "lead",
    "done": "procedure",
    "finding": "finding",
    "outcome": "outcome",
    "arrival": "arrival",
    "again": "seen_again",
}
BLIND = "blind"
ADDED_LATER = ("fresh", "last", BLIND)
UNSEEN = "unseen"
SPLIT_BEFORE = ("second_", "third_", "fourth_")
UNREAD = ("third_held_out", "fourth_held_out")  # their misses have been seen by nobody
STATUSES = {"": "present", "?": "uncertain", "no:": "absent", "old:": "history"}
LABEL = re.compile(
    r"(?P<status>\?|no:|old:)?(?P<code>[a-z_]+)(?:\+(?P<result>[a-z]+))?(?:@(?P<date>[\d-]+))?$"
)


@dataclass(frozen=True, order=True)
class Label:
    """One thing that a reader understood: what, how firmly, and (for dated axes) when, with what result."""

    axis: str
    code: str
    status: str
    date: str = ""
    result: str = ""


@dataclass(frozen=True)
class LabelledNote:
    """A note as a clinic wrote it, with the labels that a reader gave it."""

    note_id: str
    text: str
    admission_date: datetime.date | None
    date_order: str
    labels: frozenset[Label]
    file: str = ""

    @property
    def half(self) -> str:
        """tuning or held_out, from a hash of the id: fixed for good; sets added later are apart.

        Of the notes called unseen the half whose misses have been looked at is ``opened``. The later sets came
        split, a file a half.
        """
        if self.file.startswith(SPLIT_BEFORE):
            return self.file
        voice = self.note_id.partition("-")[0]
        if voice in ADDED_LATER:
            return voice
        is_odd = hashlib.sha256(self.note_id.encode()).digest()[0] % 2
        if voice == UNSEEN:
            return UNSEEN if is_odd else "opened"
        return "held_out" if is_odd else "tuning"


def invented_notes() -> list[LabelledNote]:
    """Every note in the files of this folder, in the order of files and lines; a file may begin with a remark."""
    blocks = (
        (block, path.stem)
        for path in sorted(FOLDER.glob("*.txt"))
        for block in re.split(r"^@ ", path.read_text("utf-8"), flags=re.M)[1:]
    )
    return [_note(block, file) for block, file in blocks]


def spanish_file_notes() -> list[LabelledNote]:
    """The published Spanish file's texts, read in place, with the labels that stand here by row id."""
    with SPANISH_FILE.open(encoding="utf-8", newline="") as file:
        texts = {row["id"]: row for row in csv.DictReader(file, delimiter=";")}
    with (FOLDER / "spanish_file.csv").open(encoding="utf-8", newline="") as file:
        labels = {row["row_id"]: row["labels"] for row in csv.DictReader(file)}
    return [_spanish_note(row_id, texts[row_id], text) for row_id, text in labels.items()]


def _spanish_note(row_id: str, row: dict[str, str], labels: str) -> LabelledNote:
    admitted = datetime.datetime.strptime(row["fecha"], "%d/%m/%Y").date()
    return LabelledNote(f"spanish_file-{row_id}", row["observa"], admitted, "dmy", _labels(row_id, labels))


def _note(block: str, file: str) -> LabelledNote:
    header, *lines = block.rstrip("\n").split("\n")
    note_id, admitted, *order = header.split()
    *text, labels = lines
    if not labels.startswith("="):
        raise ValueError(f"{note_id}: the last line of a note starts with '=' and carries its labels")
    return LabelledNote(
        note_id,
        "\n".join(text),
        None if admitted == "-" else datetime.date.fromisoformat(admitted),
        order[0] if order else "dmy",
        _labels(note_id, labels.removeprefix("=")),
        file,
    )


def _labels(note_id: str, written: str) -> frozenset[Label]:
    found = set()
    for part in filter(None, map(str.strip, written.split(";"))):
        axis, *codes = part.split()
        found.update(_label(note_id, AXES[axis], code) for code in codes)
    return frozenset(found)


def _label(note_id: str, axis: str, written: str) -> Label:
    match = LABEL.match(written)
    if not match:
        raise ValueError(f"{note_id}: cannot read the label {written!r}")
    status = STATUSES[match["status"] or ""]
    return Label(axis, match["code"], status, match["date"] or "", match["result"] or "")
