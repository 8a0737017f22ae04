"""Which files a source has, and what can be told of a file without reading its records."""

import hashlib
import re
from datetime import date, datetime
from pathlib import Path
from typing import NamedTuple

from unsnag.errors import Problem
from unsnag.read.source import SourceLayout

CHUNK = 1 << 20
NAME_PATTERNS = {"Y": r"\d{4}", "y": r"\d{2}", "m": r"\d{2}", "d": r"\d{2}", "j": r"\d{3}", "H": r"\d{2}"}
NAME_PATTERNS |= {"M": r"\d{2}", "S": r"\d{2}", "b": r"[^\W\d_]+", "B": r"[^\W\d_]+", "%": "%"}
SIGNATURES = {
    b"PK\x03\x04": "a workbook or another zip archive",
    b"PAR1": "a Parquet file",
    b"\xd0\xcf\x11\xe0": "an old or password-protected workbook",
    b"%PDF": "a PDF document",
    b"\x1f\x8b": "a gzip archive",
}


class Survey(NamedTuple):
    """What one pass over the bytes tells."""

    sha256: str
    size: int
    start: bytes
    end: bytes
    has_nul: bool

    @property
    def kind(self) -> str:
        """What the first bytes say the file is, if it is no text; else ''."""
        return next((kind for mark, kind in SIGNATURES.items() if self.start.startswith(mark)), "")

    @property
    def ends_a_line(self) -> bool:
        """Whether the last record is complete as far as its line end tells."""
        return self.end.rstrip(b"\0").endswith((b"\n", b"\r"))


def matched_files(layout: SourceLayout) -> list[Path]:
    """The source's files in the order of their names, without hidden and lock files.

    With ``until``: those that were there on that day, perhaps none.

    Raises  Problem: none matches, or a file's name lacks the date that it should have
    """
    try:
        found = [path for path in layout.folder.glob(layout.files) if path.is_file()]
    except (ValueError, NotImplementedError) as error:
        raise _no_files(layout, f"the pattern files = '{layout.files}' cannot be used ({error})") from None
    files = sorted(path for path in found if not path.name.startswith((".", "~$")))
    if layout.until is not None:
        return [path for path in files if _is_known(layout, path)]
    if not files:
        raise _no_files(layout, f"no file matches files = '{layout.files}'")
    return files


def _is_known(layout: SourceLayout, path: Path) -> bool:
    """Whether the file had been exported by the day up to which the layout asks."""
    exported = export_date(layout, path)
    return exported is None or exported <= layout.until


def _no_files(layout: SourceLayout, what: str) -> Problem:
    return Problem(
        f"{layout.clinic}, source {layout.name}",
        what,
        f"Put the export into clinics/{layout.clinic}/ or correct the pattern in clinics/{layout.clinic}/clinic.toml",
    )


def workspace_path(layout: SourceLayout, path: Path) -> str:
    """The file's path as users name it, relative to the workspace."""
    return f"clinics/{layout.clinic}/{path.relative_to(layout.folder).as_posix()}"


def survey(path: Path) -> Survey:
    """Read the bytes once."""
    digest, size, start, end, has_nul = hashlib.sha256(), 0, b"", b"", False
    with path.open("rb") as stream:
        while chunk := stream.read(CHUNK):
            digest.update(chunk)
            start = start or chunk[:8]
            size, end, has_nul = size + len(chunk), chunk[-4:], has_nul or b"\0" in chunk
    return Survey(digest.hexdigest(), size, start, end, has_nul)


def export_date(layout: SourceLayout, path: Path) -> date | None:
    """When the file was exported: as stated, else as its name says.

    Raises  Problem: the name has no such date
    """
    if layout.export_date is not None or layout.export_date_in_name is None:
        return layout.export_date
    for match in re.finditer(_name_pattern(layout.export_date_in_name), path.name):
        try:
            return datetime.strptime(match.group(), layout.export_date_in_name).date()
        except ValueError:
            continue
    raise Problem(
        workspace_path(layout, path),
        f"the file's name has no date like {layout.export_date_in_name}",
        f"Rename the file, or state export_date in clinics/{layout.clinic}/clinic.toml",
    )


def _name_pattern(strptime_pattern: str) -> str:
    parts = re.split(r"%(.)", strptime_pattern)
    return "".join(
        NAME_PATTERNS.get(part, ".+?") if odd % 2 else re.escape(part) for odd, part in enumerate(parts)
    )
