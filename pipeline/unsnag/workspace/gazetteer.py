"""places/gazetteer.csv: the points of places that clinics know by name only."""

from pathlib import Path
from typing import NamedTuple

from unsnag.errors import Problem
from unsnag.workspace.csv_rows import read_rows

COLUMNS = ("place", "latitude", "longitude", "uncertainty_m")
HEADING = f"Start the file with: {','.join(COLUMNS)}"


class Place(NamedTuple):
    """A named place: WGS84 decimal degrees, and the radius in metres within which finders mean it."""

    place: str
    latitude: float
    longitude: float
    uncertainty_m: float | None


def read_gazetteer(path: Path) -> tuple[tuple[Place, ...], list[Problem]]:
    """The places of a gazetteer, none if the file is missing, and one problem for each line that cannot be used.

    A second name of a place is a second row with the same point.
    """
    try:
        rows = read_rows(path, COLUMNS, HEADING)
    except Problem as problem:
        return (), [problem]
    read = [_place(f"{path}, line {line}", row) for line, row in rows]
    places = tuple(item for item in read if isinstance(item, Place))
    return places, [item for item in read if isinstance(item, Problem)]


def _place(where: str, row: dict[str, str]) -> Place | Problem:
    name = (row["place"] or "").strip()
    if not name:
        return Problem(where, "there is no place", "Write its name, or delete the row")
    try:
        latitude, longitude = float(row["latitude"]), float(row["longitude"])
        uncertainty = float(row["uncertainty_m"]) if row["uncertainty_m"] else None
    except (TypeError, ValueError):
        return Problem(
            where, f"the numbers of '{name}' cannot be read", "Write them like -36.5644,160.4522,400"
        )
    if not (-90 <= latitude <= 90 and -180 <= longitude <= 180):
        return Problem(where, f"'{name}' lies nowhere on earth", "Correct its latitude and longitude")
    if uncertainty is not None and not uncertainty > 0:
        return Problem(
            where, f"the uncertainty of '{name}' is no radius", "Give metres above 0, or leave it empty"
        )
    return Place(name, latitude, longitude, uncertainty)
