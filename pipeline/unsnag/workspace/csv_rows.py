"""The rows of a CSV file that a steward writes by hand."""

import csv
from collections.abc import Iterable
from io import StringIO
from pathlib import Path

from unsnag.errors import Problem


def read_rows(path: Path, columns: Iterable[str], remedy: str) -> list[tuple[int, dict[str, str]]]:
    """(line, row) of every row in which something stands; none if the file is missing.

    columns : those that must be there
    remedy  : what to do if one is missing
    Raises    Problem: it is no such file
    """
    if not path.is_file():
        return []
    try:
        reader = csv.DictReader(StringIO(path.read_text(encoding="utf-8-sig"), newline=""), strict=True)
        rows = [(reader.line_num, row) for row in reader]
    except (UnicodeDecodeError, csv.Error) as error:
        raise Problem(str(path), f"the file cannot be read: {error}", "Save it as 'CSV UTF-8'") from None
    missing = [name for name in columns if name not in (reader.fieldnames or [])]
    if missing:
        raise Problem(str(path), f"the column {', '.join(missing)} is missing", remedy)
    return [(line, row) for line, row in rows if any(row.values())]
