"""A council's area, sites and bins as GeoJSON (RFC 7946) and CSV for its map program."""

import json

import pandas

from unsnag.csv_text import csv_text

SITE = (
    "site_id", "site", "kind", "council", "has_bin", "excluded_because", "years", "tackle", "other", "expected", "low",
    "high", "trend", "trend_low", "trend_high", "finding", "within_reach", "within_low", "within_high", "prevented",
    "prevented_low", "prevented_high", "rank", "taken_from", "note",
)  # fmt: skip


def sites(frames: dict[str, pandas.DataFrame], council: str) -> pandas.DataFrame:
    """The council's sites with everything told of each, best first."""
    siting = frames["bin_siting"][frames["bin_siting"]["area"] == council]
    added = siting[
        ["site_id", *(name for name in SITE if name in siting and name not in frames["site_expected"])]
    ]
    own = frames["site_expected"][frames["site_expected"]["council"] == council]
    return own.merge(added, on="site_id", how="left").sort_values(["rank", "site_id"], kind="stable")


def as_geojson(frames: dict[str, pandas.DataFrame], council: str) -> str:
    """A FeatureCollection: the council's area first, then a point for each site; WGS84, no member ``crs``."""
    (area,) = frames["councils"][frames["councils"]["council"] == council].to_dict("records")
    features = [_feature(json.loads(area.pop("geometry")), {"feature": "council"} | area)]
    for site in sites(frames, council).to_dict("records"):
        point = {"type": "Point", "coordinates": [site["longitude"], site["latitude"]]}
        features.append(_feature(point, {"feature": "site"} | {name: site[name] for name in SITE}))
    collection = {"type": "FeatureCollection", "features": features}
    return json.dumps(collection, ensure_ascii=False, indent=1) + "\n"


def _feature(geometry: dict, properties: dict) -> dict:
    return {
        "type": "Feature",
        "geometry": geometry,
        "properties": {key: _plain(value) for key, value in properties.items()},
    }


def _plain(value: object) -> object:
    """A value as JSON knows it; what is missing is null."""
    if pandas.isna(value):
        return None
    return value.item() if hasattr(value, "item") else value


def as_csv(frames: dict[str, pandas.DataFrame], council: str) -> str:
    """The sites as CSV with latitude and longitude, WGS84."""
    names = (*SITE, "latitude", "longitude")
    rows = [[_plain(site[name]) for name in names] for site in sites(frames, council).to_dict("records")]
    return csv_text([names, *rows])
