"""Places → place.councils, place.sites, place.bins and place.notes, as SQL and analyses see them."""

import json

import shapely

from unsnag.places.places import Places
from unsnag.stats.sites.distance import WGS84

TABLES = {
    "councils": "council varchar, geometry varchar, area_km2 double",
    "sites": "site_id varchar, site varchar, kind varchar, council varchar, latitude double, longitude double, "
    "excluded_because varchar",
    "bins": "bin_id varchar, site_id varchar, decided date, installed date, removed date",
    "notes": "note varchar",
    "rules": "rule varchar, value varchar",
    "points": "latitude double, longitude double, council varchar, near_council varchar, outside_m double",
    "point_sites": "latitude double, longitude double, site_id varchar, distance_m double",
}


def write(connection, places: Places, excluded: dict[str, str], rules: dict[str, str]) -> None:
    """Make the tables of the schema place; ``points`` and ``point_sites`` stay empty until ``locate``.

    excluded : site_id → why no bin may stand there
    rules    : key of places/siting.toml → its value in words
    """
    connection.execute("create schema if not exists place")
    rows = {
        "councils": [(name, as_geojson(area), area_km2(area)) for name, area, _ in places.councils],
        "sites": [(*site[:6], excluded.get(site.site_id)) for site in places.sites],
        "bins": [each[:5] for each in places.bins],
        "notes": [(note,) for note in places.notes],
        "rules": sorted(rules.items()),
    }
    for table, columns in TABLES.items():
        connection.execute(f"create or replace table place.{table} ({columns})")
        if rows.get(table):
            marks = ", ".join("?" for _ in rows[table][0])
            connection.executemany(f"insert into place.{table} values ({marks})", rows[table])


def as_geojson(area: shapely.Geometry) -> str:
    """An area as the text of a GeoJSON geometry, to seven decimals (about a centimetre)."""
    return json.dumps(shapely.geometry.mapping(shapely.set_precision(area, 1e-7, mode="pointwise")))


def area_km2(area: shapely.Geometry) -> float:
    """Geodesic area in square kilometres."""
    return round(abs(WGS84.geometry_area_perimeter(area)[0]) / 1e6, 3)
