"""A record → a council, or a candidate site with the council that it lies in."""

import math

import shapely
from shapely.geometry import Point
from shapely.ops import nearest_points

from unsnag.errors import Problem
from unsnag.places.areas import area
from unsnag.places.places import Council, Site
from unsnag.places.points import Box, point
from unsnag.places.records import Record
from unsnag.stats.sites.distance import WGS84

# A jetty stands in the sea, beyond the line where its council ends; farther out it is another's, or a slip.
BESIDE_M = 2000.0


def council_of(record: Record, region: Box, notes: list[str]) -> Council:
    """A council with its area; what was mended goes to the notes.

    Raises  Problem: no name, or no sound area
    """
    name = record.cells.get("council") or record.cells.get("name")
    if not name:
        raise Problem(record.where, "the council has no name", "Give it as the property or column council")
    shape, mended = area(record, name, region)
    notes += mended
    return Council(name, shape, record.where)


def site_of(record: Record, region: Box, councils: list[Council]) -> Site:
    """A candidate site.

    Raises  Problem: no id, name or point, or no council has it
    """
    site_id, name = (record.cells.get(key, "") for key in ("site_id", "site"))
    if not site_id or not name:
        raise Problem(
            record.where, "a site needs a site_id and a name", "Fill in the columns site_id and site"
        )
    longitude, latitude = point(record, name, region)
    stated = record.cells.get("council", "")
    council = _council(record.where, name, stated, Point(longitude, latitude), councils)
    return Site(site_id, name, record.cells.get("kind", ""), council, latitude, longitude, record.where)


def _council(where: str, name: str, stated: str, at: Point, councils: list[Council]) -> str:
    """The stated council, if the site is not far from it; else the one that holds the site or is nearest."""
    known = {council.council: council for council in councils}
    if stated and stated not in known:
        listed = ", ".join(sorted(known)) or "none"
        raise Problem(where, f"there is no council '{stated}'", f"Councils with an area: {listed}")
    far = {council.council: distance_to_area_m(at, council.area) for council in councils}
    nearest = stated or min(far, key=lambda council: (far[council], council), default="")
    if not nearest:
        raise Problem(where, f"'{name}' has no council", "Add councils.geojson with the councils' areas")
    if far[nearest] > BESIDE_M:
        said = f"'{name}' lies {far[nearest] / 1000:.1f} km outside {nearest}"
        raise Problem(where, said, "Correct its coordinates or its council")
    return nearest


def distance_to_area_m(at: Point, area: shapely.Geometry) -> float:
    """Geodesic metres from a point to the border of an area, 0 inside.

    The nearest point of the border is looked for in degrees narrowed by the latitude, which ranks points of one
    neighbourhood as metres do.
    """
    if area.intersects(at):
        return 0.0
    narrow = math.cos(math.radians(at.y))
    flat = shapely.transform(area, lambda xy: xy * [narrow, 1.0])
    border = nearest_points(flat, Point(at.x * narrow, at.y))[0]
    return WGS84.inv(at.x, at.y, border.x / narrow, border.y)[2]
