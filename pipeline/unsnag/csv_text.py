"""Cells of the CSV files that people open in a spreadsheet: text that would be run as a formula stays text."""

import csv
import re
from collections.abc import Iterable, Sequence
from io import StringIO

# What spreadsheets take for the start of a formula or a command (OWASP, "CSV Injection", from memory); numbers stay.
DANGEROUS = re.compile(r"^[=+\-@\t\r]")
NUMBER = re.compile(r"^[-+]?(\d+([.,]\d+)*|[.,]\d+)(e[-+]?\d+)?$", re.IGNORECASE)
GUARD = "'"


def harmless(cell: object) -> str:
    """The cell as text, with a quote mark before what a spreadsheet would calculate; '' for None."""
    text = "" if cell is None else str(cell)
    return GUARD + text if DANGEROUS.match(text) and not NUMBER.match(text) else text


def unguarded(cell: str) -> str:
    """The text that :func:`harmless` guarded; any other stays."""
    return cell[1:] if cell.startswith(GUARD) and harmless(cell[1:]) == cell else cell


def csv_text(rows: Iterable[Sequence[object]]) -> str:
    """Rows as CSV, every cell harmless."""
    out = StringIO(newline="")
    csv.writer(out, lineterminator="\n").writerows([harmless(cell) for cell in row] for row in rows)
    return out.getvalue()
