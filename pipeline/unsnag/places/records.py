"""A file of places → one record a feature, line or row, every cell text; what cannot be read is a problem."""

import csv
import json
from collections.abc import Iterator
from datetime import date, datetime
from io import StringIO
from pathlib import Path
from typing import NamedTuple

from python_calamine import CalamineError, CalamineWorkbook

from unsnag.errors import Problem

ENDINGS = (".geojson", ".csv", ".xlsx")


class Record(NamedTuple):
    """One place as its file gives it; ``geometry`` and ``crs`` are GeoJSON's, None in a table."""

    where: str
    cells: dict[str, str]
    geometry: dict | None = None
    crs: object = None


def records(folder: Path, name: str) -> tuple[list[Record], list[Problem]]:
    """The records of ``places/<name>`` in whichever of GeoJSON, CSV or XLSX it is; none if there is no such file."""
    paths = [path for ending in ENDINGS if (path := folder / f"{name}{ending}").is_file()]
    if len(paths) > 1:
        listed = " and ".join(path.name for path in paths)
        return [], [Problem(str(folder), f"{listed} both give {name}", "Keep one of them")]
    if not paths:
        return [], []
    readers = {".geojson": _geojson, ".csv": _csv, ".xlsx": _xlsx}
    try:
        return list(readers[paths[0].suffix](paths[0])), []
    except Problem as problem:
        return [], [problem]


def _geojson(path: Path) -> Iterator[Record]:
    try:
        content = json.loads(path.read_text(encoding="utf-8-sig"))
    except json.JSONDecodeError as error:
        raise Problem(
            f"{path}, line {error.lineno}", f"this is no JSON: {error.msg}", "Export the file again"
        ) from None
    except UnicodeDecodeError:
        raise Problem(str(path), "the file is not UTF-8", "Save it as UTF-8") from None
    features = content.get("features") if isinstance(content, dict) else None
    if not isinstance(features, list) or content.get("type") != "FeatureCollection":
        raise Problem(
            str(path), "this is no GeoJSON FeatureCollection", "Export the layer as GeoJSON (RFC 7946)"
        )
    for number, feature in enumerate(features, 1):
        yield _feature(f"{path}, feature {number}", feature, content.get("crs"))


def _feature(where: str, feature: object, crs: object) -> Record:
    if not isinstance(feature, dict) or feature.get("type") != "Feature":
        raise Problem(where, "this is no GeoJSON Feature", "Export the layer as GeoJSON (RFC 7946)")
    properties = feature.get("properties") or {}
    cells = {str(key).strip().lower(): _text(value) for key, value in properties.items()}
    return Record(where, cells, feature.get("geometry") or {}, crs)


def _csv(path: Path) -> Iterator[Record]:
    try:
        text = path.read_text(encoding="utf-8-sig")
        reader = csv.DictReader(StringIO(text, newline=""), strict=True)
        rows = [(f"{path}, line {reader.line_num}", row) for row in reader]
    except (UnicodeDecodeError, csv.Error) as error:
        raise Problem(
            str(path), f"the file cannot be read: {error}", "Save it as 'CSV UTF-8', commas between"
        ) from None
    for where, row in rows:
        if None in row:
            raise Problem(where, "the line has more cells than the heading", "Put quotes round a comma")
        yield from _row(where, row)


def _xlsx(path: Path) -> Iterator[Record]:
    try:
        rows = CalamineWorkbook.from_path(str(path)).get_sheet_by_index(0).to_python(skip_empty_area=False)
    except (CalamineError, OSError) as error:
        raise Problem(str(path), f"the workbook cannot be read: {error}", "Save it anew as .xlsx") from None
    heading = [_text(cell) for cell in rows[0]] if rows else []
    for number, row in enumerate(rows[1:], 2):
        yield from _row(f"{path}, row {number}", dict(zip(heading, row, strict=False)))


def _row(where: str, row: dict) -> Iterator[Record]:
    cells = {str(key).strip().lower(): _text(value) for key, value in row.items() if key}
    if any(cells.values()):
        yield Record(where, cells)


def _text(value: object) -> str:
    """A cell as text: days as 2024-01-31, whole numbers without decimals."""
    if isinstance(value, datetime):
        return value.date().isoformat()
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return "" if value is None else str(value).strip()
