"""The point of a site or bin out of its cells or its geometry, in WGS84 and inside the network's region."""

import math
from typing import Protocol

from unsnag.errors import Problem
from unsnag.places import datum
from unsnag.places.records import Record

COLUMNS = (("longitude", "latitude"), ("easting", "northing"))


class Box(Protocol):
    """The network's region, decimal degrees."""

    south: float
    north: float
    west: float
    east: float


def holds(region: Box, longitude: float, latitude: float) -> bool:
    """Whether a point lies in the region."""
    return region.south <= latitude <= region.north and region.west <= longitude <= region.east


def check_region(where: str, what: str, longitude: float, latitude: float, region: Box) -> None:
    """Raises  Problem: the point is nowhere, outside the region, or its coordinates seem swapped."""
    if holds(region, longitude, latitude):
        return
    if holds(region, latitude, longitude):
        raise Problem(
            where, f"latitude and longitude of {what} are swapped", "Swap them: GeoJSON puts longitude first"
        )
    if abs(longitude) > 180 or abs(latitude) > 90:
        raise Problem(
            where,
            f"{what} lies nowhere on earth ({longitude:g}, {latitude:g})",
            "Give degrees, or state the map projection of the metres in a column crs",
        )
    raise Problem(
        where,
        f"{what} lies outside the network's region ({latitude:g}, {longitude:g})",
        "Correct the coordinates, or widen [region] in network.toml",
    )


def has_point(record: Record) -> bool:
    """Whether the record gives a point at all."""
    return bool(record.geometry) or any(record.cells.get(x) or record.cells.get(y) for x, y in COLUMNS)


def point(record: Record, what: str, region: Box) -> tuple[float, float]:
    """Longitude and latitude of a record, WGS84.

    Raises  Problem: there is no point, it cannot be read, or it lies elsewhere
    """
    crs = datum.stated(record.where, record.crs or record.cells.get("crs"))
    x, y = _geometry(record, what) if record.geometry is not None else _cells(record, what, crs)
    longitude, latitude = datum.point_to_wgs84(x, y, crs)
    check_region(record.where, what, longitude, latitude, region)
    return round(longitude, 7), round(latitude, 7)


def _geometry(record: Record, what: str) -> tuple[float, float]:
    coordinates = record.geometry.get("coordinates")
    if record.geometry.get("type") != "Point" or not is_position(coordinates):
        raise Problem(record.where, f"the geometry of {what} is no Point", "Give one longitude and latitude")
    return coordinates[0], coordinates[1]


def is_position(position: object) -> bool:
    """Whether this is a GeoJSON position: two or three finite numbers."""
    return (
        isinstance(position, list | tuple)
        and len(position) in (2, 3)
        and all(isinstance(part, int | float) and math.isfinite(part) for part in position)
    )


def _cells(record: Record, what: str, crs: str) -> tuple[float, float]:
    names = COLUMNS[datum.is_projected(crs)]
    try:
        x, y = (float(record.cells[name]) for name in names)
    except (KeyError, ValueError):
        x = y = math.nan
    if not (math.isfinite(x) and math.isfinite(y)):
        raise Problem(
            record.where,
            f"{names[1]} and {names[0]} of {what} cannot be read",
            "Write two numbers with a decimal point",
        )
    return x, y
