"""JSON Lines: one object a line; objects in it are flattened to 'a.b', declared lists become tables of their own."""

import json
from collections.abc import Iterable, Iterator
from pathlib import Path

from unsnag.errors import Problem
from unsnag.read.files import workspace_path
from unsnag.read.names import column_key, column_keys
from unsnag.read.records import Records, Refusal
from unsnag.read.source import SourceLayout
from unsnag.read.text import open_text

NO_OBJECT = Refusal(
    "the line is not a JSON object", "Correct the line in the export; each line holds one {…} object"
)


def read_json_lines(layout: SourceLayout, path: Path, encoding: str) -> Records:
    """One record an object; the columns are the keys of all lines, in order of first sight.

    Raises  Problem: no line is an object, or the last line is cut short
    """
    flattening = Flattening(layout)
    contents = (content for _, content in _lines(layout, path, encoding) if isinstance(content, dict))
    columns = tuple(dict.fromkeys(name for content in contents for name in flattening.flat(content)))
    if not columns:
        raise Problem(
            workspace_path(layout, path),
            "no line holds a JSON object",
            "Export JSON Lines, one {…} object a line, not one document over several lines",
        )
    return Records(columns, _records(layout, path, encoding, columns))


def _records(layout: SourceLayout, path: Path, encoding: str, columns: tuple[str, ...]) -> Iterator:
    flattening = Flattening(layout)
    for row, content in _lines(layout, path, encoding):
        if isinstance(content, dict):
            flat = flattening.flat(content)
            yield row, [flat.get(name, "") for name in columns]
        else:
            yield row, NO_OBJECT


def read_items(
    layout: SourceLayout, path: Path, encoding: str, nested: str, rows: Iterable[int]
) -> tuple[tuple[str, ...], list[tuple[int, int, dict[str, str]]]]:
    """The objects of one nested list, for the given rows only.

    Returns  columns (all keys, in order of first sight); (row, item counted from 1, key → text) of each object
    """
    wanted, items, flattening = set(rows), [], Flattening(layout)
    for row, content in _lines(layout, path, encoding):
        if row in wanted:
            found = enumerate(_list_at(content, nested), start=1)
            items += [(row, number, flattening.flat(item)) for number, item in found]
    columns = dict.fromkeys(name for _, _, flat in items for name in flat)
    return tuple(columns), items


def _lines(layout: SourceLayout, path: Path, encoding: str) -> Iterator[tuple[int, object]]:
    """Row and parsed content of each line that is not blank; None for a line that is no JSON."""
    sign = layout.decimal
    decoder = json.JSONDecoder(parse_int=str, parse_float=lambda digits: digits.replace(".", sign))
    with open_text(path, encoding) as stream:
        for row, line in enumerate(stream, start=1):
            if not line.isspace():
                yield row, _parsed(decoder, layout, path, row, line)


def _parsed(decoder: json.JSONDecoder, layout: SourceLayout, path: Path, row: int, line: str) -> object:
    try:
        return decoder.decode(line)
    except (ValueError, RecursionError):
        if line.endswith(("\n", "\r")):
            return None
    raise Problem(
        f"{workspace_path(layout, path)}, line {row}",
        "the last line is cut short",
        "Export the file again; it ends in the middle of a record",
    )


class Flattening:
    """How one source's objects become flat rows of text."""

    def __init__(self, layout: SourceLayout) -> None:
        self.lists = column_keys(layout.nested)
        self.private = column_keys(layout.private)

    def flat(self, content: dict, prefix: str = "") -> dict[str, str]:
        """Path → text. A key that repeats an earlier path is kept beside it, never over it."""
        found: dict[str, str] = {}
        for name, value in content.items():
            path = prefix + name
            if column_key(path) in self.lists:
                continue
            nested = isinstance(value, dict)
            parts = self.flat(value, path + ".").items() if nested else ((path, self._text(value)),)
            for part, text in parts:
                found[part if part not in found else f"{part} (2)"] = text
        return found

    def _text(self, value: object) -> str:
        """A string as it is, a list that is not declared as its JSON text; NaN is no value."""
        if isinstance(value, str):
            return value
        if value is None or isinstance(value, float):
            return ""
        if isinstance(value, bool):
            return "true" if value else "false"
        if isinstance(value, list):
            return json.dumps(_without(value, self.private), ensure_ascii=False)
        return str(value)


def _without(value: object, hidden: frozenset[str]) -> object:
    """The value without private keys at any depth."""
    if isinstance(value, list):
        return [_without(item, hidden) for item in value]
    if isinstance(value, dict):
        return {key: _without(item, hidden) for key, item in value.items() if column_key(key) not in hidden}
    return value


def _list_at(content: object, nested: str) -> list[dict]:
    """The list under a path such as 'events' or 'care.events'; what is no object in it gets the key 'value'."""
    keys = column_key(nested).split(".")
    for key in keys:
        named = (
            {column_key(name): value for name, value in content.items()} if isinstance(content, dict) else {}
        )
        content = named.get(key)
    items = content if isinstance(content, list) else [content]
    return [item if isinstance(item, dict) else {"value": item} for item in items if item is not None]
