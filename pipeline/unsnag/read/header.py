"""Does the header row fit what clinic.toml says of it?"""

from collections.abc import Sequence
from pathlib import Path

from unsnag.errors import Problem
from unsnag.read.files import workspace_path
from unsnag.read.names import column_key, column_keys, unique_names
from unsnag.read.source import SourceLayout

USUAL_DELIMITERS = {";": ";", ",": ",", "\t": "\\t", "|": "|"}


def check_header(layout: SourceLayout, path: Path, header: Sequence[str]) -> None:
    """Raise a Problem if the delimiter is wrong, no named column is there, or a filter's column is missing."""
    names = unique_names(header)
    keys = column_keys(names)
    named = _named(layout)
    if layout.format == "delimited" and len(names) == 1 and len(named | column_keys(layout.private)) > 1:
        raise _problem(
            layout, path, "the header row has one column where clinic.toml names more", _hint(header[0])
        )
    for name in layout.only:
        if column_key(name) not in keys:
            what = f"there is no column '{name}', which only names"
            raise _problem(layout, path, what, f"the columns are: {', '.join(names)}")
    if named and not any(_is_there(name, keys) for name in named):
        what = "the header row has none of the columns that clinic.toml names"
        raise _problem(layout, path, what, f"it reads: {', '.join(names)}")


def _named(layout: SourceLayout) -> frozenset[str]:
    """Columns that clinic.toml maps or filters by; private ones may be missing, nested ones stand elsewhere."""
    nested = tuple(column_key(name) + "." for name in layout.nested)
    keys = column_keys([*layout.only, *layout.plain_columns])
    return frozenset(key for key in keys if not key.startswith(nested))


def _is_there(name: str, keys: frozenset[str]) -> bool:
    """A column of that name, or an object that holds it or is held by it."""
    return any(name == key or name.startswith(key + ".") or key.startswith(name + ".") for key in keys)


def _hint(cell: str) -> str:
    counts = {shown: cell.count(sign) for sign, shown in USUAL_DELIMITERS.items()}
    likely = max(counts, key=counts.get)
    return f'delimiter = "{likely}" is likely' if counts[likely] else f"it reads: {cell}"


def _problem(layout: SourceLayout, path: Path, what: str, hint: str) -> Problem:
    return Problem(
        workspace_path(layout, path),
        what,
        f"Correct clinics/{layout.clinic}/clinic.toml, source {layout.name} ({hint})",
    )
