"""Coordinates in the datum or map projection that a file states → WGS84 decimal degrees."""

from functools import cache

import numpy as np
from pyproj import CRS, Transformer
from pyproj.exceptions import CRSError
from shapely import transform
from shapely.geometry.base import BaseGeometry

from unsnag.errors import Problem

WGS84 = "EPSG:4326"
REMEDY = "State it as an EPSG code, such as EPSG:7844, or give WGS84 decimal degrees"


def stated(where: str, crs: object) -> str:
    """The reference system that a file or a cell names, WGS84 if none.

    crs     : a cell's text, or the ``crs`` member of older GeoJSON
    Raises  Problem: there is no such reference system
    """
    name = crs["properties"].get("name") if _is_named(crs) else crs
    if not name:
        return WGS84
    try:
        return CRS.from_user_input(name).to_string()
    except (CRSError, TypeError):
        raise Problem(where, f"'{name}' is no known datum or map projection", REMEDY) from None


def _is_named(crs: object) -> bool:
    return isinstance(crs, dict) and isinstance(crs.get("properties"), dict)


@cache
def is_projected(crs: str) -> bool:
    """Whether its coordinates are metres of a map projection and not degrees."""
    return CRS.from_user_input(crs).is_projected


@cache
def _to_wgs84(crs: str) -> Transformer:
    return Transformer.from_crs(crs, WGS84, always_xy=True)


def point_to_wgs84(x: float, y: float, crs: str) -> tuple[float, float]:
    """Longitude and latitude of a point; x is longitude or easting."""
    return (x, y) if crs == WGS84 else _to_wgs84(crs).transform(x, y)


def shape_to_wgs84(shape: BaseGeometry, crs: str) -> BaseGeometry:
    """A shape in longitude and latitude."""
    if crs == WGS84:
        return shape
    return transform(shape, lambda xy: np.column_stack(_to_wgs84(crs).transform(xy[:, 0], xy[:, 1])))
