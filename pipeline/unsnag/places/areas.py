"""The area of a council out of GeoJSON or a column ``wkt``: rings closed, not crossing, right way round."""

from collections.abc import Iterator

import shapely
from shapely.geometry import shape
from shapely.geometry.base import BaseGeometry

from unsnag.errors import Problem
from unsnag.places import datum
from unsnag.places.points import Box, check_region, is_position
from unsnag.places.records import Record

KINDS = ("Polygon", "MultiPolygon")
AGAIN = "Export the area again as a Polygon or MultiPolygon"


def area(record: Record, what: str, region: Box) -> tuple[BaseGeometry, list[str]]:
    """The area in WGS84, and notes on what was mended.

    Raises  Problem: there is no area, or it is no sound one
    """
    crs = datum.stated(record.where, record.crs or record.cells.get("crs"))
    drawn = _from_wkt(record, what) if record.geometry is None else _from_geojson(record, what)
    found = datum.shape_to_wgs84(drawn, crs)
    inside = found.representative_point() if found.is_valid else found.centroid
    check_region(record.where, what, inside.x, inside.y, region)
    if not found.is_valid:
        reason = shapely.is_valid_reason(found)
        raise Problem(record.where, f"the area of {what} crosses itself: {reason}", "Redraw it there")
    turned = shapely.orient_polygons(found, exterior_cw=False)
    is_turned = not turned.equals_exact(found, 0)
    note = f"{record.where}: a ring of {what} ran the wrong way round (RFC 7946, 3.1.6); it was turned"
    return turned, [note] if is_turned else []


def _from_wkt(record: Record, what: str) -> BaseGeometry:
    if not record.cells.get("wkt"):
        raise Problem(
            record.where, f"there is no area of {what}", "Give it as GeoJSON, or as WKT in a column wkt"
        )
    try:
        drawn = shapely.from_wkt(record.cells["wkt"])
    except shapely.GEOSException as error:
        raise Problem(record.where, f"the area of {what} is no sound WKT: {error}", AGAIN) from None
    if drawn.geom_type not in KINDS:
        raise Problem(record.where, f"the geometry of {what} is no area but a {drawn.geom_type}", AGAIN)
    return shapely.force_2d(drawn)


def _from_geojson(record: Record, what: str) -> BaseGeometry:
    kind, coordinates = record.geometry.get("type"), record.geometry.get("coordinates")
    if kind not in KINDS:
        raise Problem(record.where, f"the geometry of {what} is no area but {kind or 'nothing'}", AGAIN)
    polygons = [coordinates] if kind == "Polygon" else coordinates
    for wrong in _wrong_rings(polygons):
        raise Problem(record.where, f"a ring of {what} {wrong}", AGAIN)
    return shapely.force_2d(shape(record.geometry))


def _wrong_rings(polygons: object) -> Iterator[str]:
    """What is wrong with each ring, in words; shapely would close an open ring in silence."""
    if not isinstance(polygons, list) or not polygons:
        yield "is missing"
        return
    for polygon in polygons:
        for ring in polygon if isinstance(polygon, list) and polygon else [None]:
            if not isinstance(ring, list) or not all(map(is_position, ring)):
                yield "is no list of longitudes and latitudes"
            elif len(ring) < 4:
                yield f"has {len(ring)} positions where four are the least"
            elif ring[0][:2] != ring[-1][:2]:
                yield "is not closed: its last position is not its first"
