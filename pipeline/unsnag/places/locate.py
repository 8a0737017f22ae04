"""Where each point of a case lies: its council, or how far outside the nearest one, and the sites near it.

DuckDB has no shapes here, so points are placed in Python and joined as tables, once for every distinct point.
"""

import math

import numpy as np
import pandas as pd
import shapely
from scipy.spatial import cKDTree
from shapely.geometry import Point

from unsnag.places.places import Places
from unsnag.places.sites import distance_to_area_m
from unsnag.stats.sites.distance import distance_m, geocentric_m

POINTS = """select distinct latitude, longitude from standard.stays
where latitude is not null and longitude is not null order by latitude, longitude"""
# The chord is shorter than the geodesic by less than this share within any reach of a bin.
SLACK = 1.001


def locate(connection, places: Places, at_site_m: float) -> None:
    """Fill place.points and place.point_sites for all points of standard.stays.

    at_site_m : metres, how far from a site a case may lie to be one of its cases
    """
    points = connection.execute(POINTS).df()
    if points.empty or not (places.councils or places.sites):
        return
    _fill(connection, "points", points.assign(**council_columns(points, places)))
    _fill(connection, "point_sites", site_pairs(points, places, at_site_m))


def _fill(connection, table: str, frame: pd.DataFrame) -> None:
    connection.register("frame_of_places", frame)
    connection.execute(f"insert into place.{table} select * from frame_of_places")
    connection.unregister("frame_of_places")


def council_columns(points: pd.DataFrame, places: Places) -> dict[str, list]:
    """``council`` that holds each point, the first by name on a shared border; else the nearest and how far."""
    names = np.array([council.council for council in places.councils])
    areas = np.array([council.area for council in places.councils])
    shapely.prepare(areas)
    inside = np.array(
        [shapely.intersects_xy(area, points["longitude"], points["latitude"]) for area in areas]
    )
    first, is_inside = inside.argmax(axis=0), inside.any(axis=0)
    at = shapely.points(points["longitude"], points["latitude"])
    held = zip(at, first, is_inside, strict=True)
    beside = [(0.0, names[area]) if inside else nearest(point, names, areas) for point, area, inside in held]
    return {
        "council": np.where(is_inside, names[first], None).tolist(),
        "near_council": [near for _, near in beside],
        "outside_m": [metres for metres, _ in beside],
    }


def nearest(at: Point, names: np.ndarray, areas: np.ndarray) -> tuple:
    """The nearest council of a point outside all, and how far it is; degrees only say which are worth measuring."""
    degrees = shapely.distance(areas, at)
    worth = degrees <= degrees.min() / math.cos(math.radians(at.y)) + 1e-9
    far = [
        (distance_to_area_m(at, area), name) for area, name in zip(areas[worth], names[worth], strict=True)
    ]
    return min(far)


def site_pairs(points: pd.DataFrame, places: Places, at_site_m: float) -> pd.DataFrame:
    """One row a point and site within ``at_site_m`` metres of each other, geodesic."""
    columns = ["latitude", "longitude", "site_id", "distance_m"]
    if not places.sites:
        return pd.DataFrame({name: pd.Series(dtype=object) for name in columns})
    latitude, longitude = (np.array([getattr(s, n) for s in places.sites]) for n in ("latitude", "longitude"))
    tree = cKDTree(geocentric_m(latitude, longitude))
    near = tree.query_ball_point(geocentric_m(points["latitude"], points["longitude"]), at_site_m * SLACK)
    point = np.repeat(np.arange(len(points)), [len(sites) for sites in near])
    site = np.array([one for sites in near for one in sorted(sites)], dtype=int)
    pairs = points.iloc[point].reset_index(drop=True)
    metres = distance_m(pairs["latitude"], pairs["longitude"], latitude[site], longitude[site])
    ids = np.array([each.site_id for each in places.sites])[site]
    pairs = pairs.assign(site_id=ids, distance_m=metres)
    return pairs[pairs["distance_m"] <= at_site_m].reset_index(drop=True)[columns]
