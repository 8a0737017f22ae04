"""The encoding of a text file: as stated, or found out."""

import codecs
from contextlib import suppress
from pathlib import Path
from typing import TextIO

from unsnag.errors import Problem
from unsnag.read.files import CHUNK, Survey, workspace_path
from unsnag.read.source import SourceLayout

BYTE_ORDER_MARKS = {
    codecs.BOM_UTF8: "utf-8-sig",
    codecs.BOM_UTF16_LE: "utf-16",
    codecs.BOM_UTF16_BE: "utf-16",
}
FALLBACK = "windows-1252"


def open_text(path: Path, encoding: str) -> TextIO:
    """The decoded file with its line ends as they stand."""
    return path.open(encoding=encoding, newline="")


def encoding_of(layout: SourceLayout, path: Path, surveyed: Survey) -> str:
    """The name of the encoding: what a byte order mark proves, else what is stated, else what decodes.

    Raises  Problem: the file is empty or no text, or cannot be decoded
    """
    refuse_what_is_no_text(layout, path, surveyed)
    stated = _stated(layout)
    marked = next((name for mark, name in BYTE_ORDER_MARKS.items() if surveyed.start.startswith(mark)), None)
    encoding = marked or stated or ("utf-8" if _decodes(path, "utf-8") else FALLBACK)
    if surveyed.has_nul and not encoding.startswith(("utf-16", "utf-32")):
        raise _no_text(
            layout, path, "it holds zero bytes, so it is binary or UTF-16 without a byte order mark"
        )
    if not _decodes(path, encoding):
        raise _undecodable(layout, path, encoding)
    return encoding


def refuse_what_is_no_text(layout: SourceLayout, path: Path, surveyed: Survey) -> None:
    """Raise a Problem for an empty file, and for one whose first bytes belong to another kind of file."""
    if surveyed.size == 0:
        raise Problem(workspace_path(layout, path), "the file is empty", "Export it again, or remove it")
    if surveyed.kind:
        raise _no_text(layout, path, f"it is {surveyed.kind}")


def _stated(layout: SourceLayout) -> str | None:
    if layout.encoding is None:
        return None
    try:
        with suppress(UnicodeError):
            b"a".decode(layout.encoding)
    except LookupError:
        raise Problem(
            f"{layout.clinic}, source {layout.name}",
            f"there is no text encoding '{layout.encoding}'",
            "Use utf-8, utf-16, windows-1252 or latin-1, or leave it out to have it found",
        ) from None
    return layout.encoding.lower()


def _decodes(path: Path, encoding: str) -> bool:
    decoder = codecs.getincrementaldecoder(encoding)()
    try:
        with path.open("rb") as stream:
            while chunk := stream.read(CHUNK):
                decoder.decode(chunk)
        decoder.decode(b"", final=True)
    except UnicodeError:
        return False
    return True


def _undecodable(layout: SourceLayout, path: Path, encoding: str) -> Problem:
    line = _first_undecodable_line(path, encoding)
    place = f", line {line}" if line else ""
    return Problem(
        workspace_path(layout, path) + place,
        f"the text is not {encoding}",
        f"Correct encoding in clinics/{layout.clinic}/clinic.toml (windows-1252 is usual for older programs), "
        "or export the file again",
    )


def _first_undecodable_line(path: Path, encoding: str) -> int | None:
    """Line by line makes sense only where a line end is one byte."""
    if "16" in encoding or "32" in encoding:
        return None
    with path.open("rb") as stream:
        for number, line in enumerate(stream, start=1):
            try:
                line.decode(encoding)
            except UnicodeError:
                return number
    return None


def _no_text(layout: SourceLayout, path: Path, why: str) -> Problem:
    return Problem(
        workspace_path(layout, path),
        f"the file is not the text that format = '{layout.format}' expects: {why}",
        f"Correct format or encoding in clinics/{layout.clinic}/clinic.toml, or export the file again",
    )
