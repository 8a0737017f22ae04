"""The runs so far: a line whenever a run found what the one before had not. No clock: a run is told by its data."""

import csv
from pathlib import Path

COLUMNS = (
    "as_of",
    "version",
    "clinics_missing",
    "files",
    "records",
    "cases",
    "tackle_cases",
    "words",
    "questions",
)
SHOWN = 20


def remember(path: Path, run: dict) -> list[dict]:
    """Add a run to the file unless the last line says the same.

    run     : a value for each of COLUMNS
    Returns   all runs as dictionaries of texts, oldest first
    """
    runs = read(path)
    line = {name: str(run[name]) for name in COLUMNS}
    if not runs or runs[-1] != line:
        runs.append(line)
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("w", encoding="utf-8", newline="") as stream:
            writer = csv.DictWriter(stream, COLUMNS, lineterminator="\n")
            writer.writeheader()
            writer.writerows(runs)
    return runs


def read(path: Path) -> list[dict]:
    """The runs so far; a file of another program's columns counts as none."""
    if not path.is_file():
        return []
    with path.open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    return rows if rows and tuple(rows[0]) == COLUMNS else []
