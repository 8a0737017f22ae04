"""places/: councils (GeoJSON), candidate sites, bins and the gazetteer, as files of the workspace."""

import csv
import json

from maker import coast

# Borders run west to east; the shore lies near 160.6 degrees east, and each council's waters reach out to 160.68.
BORDERS = {
    "Tolvessa Shire": (-36.000, -36.221),
    "Quennaby Bay Council": (-36.221, -36.452),
    "Varrowmere District": (-36.452, -36.681),
    "Skerrandine Council": (-36.681, -36.921),
}
INLAND, OFFSHORE, BEND = 160.290, 160.680, 160.455


def _ring(north, south):
    """Counter-clockwise (RFC 7946), closed; borders bend a little so that no council is a plain box."""
    return [
        [INLAND, north],
        [INLAND + 0.02, south],
        [BEND, south + 0.008 * (south > -36.9)],
        [OFFSHORE, south],
        [OFFSHORE - 0.012, (north + south) / 2],
        [OFFSHORE, north],
        [BEND, north + 0.008 * (north < -36.01)],
        [INLAND, north],
    ]


def write_councils(path):
    features = [
        {
            "type": "Feature",
            "properties": {"council": name, "invented": True},
            "geometry": {
                "type": "Polygon",
                "coordinates": [[[round(x, 4), round(y, 4)] for x, y in _ring(*borders)]],
            },
        }
        for name, borders in BORDERS.items()
    ]
    collection = {"type": "FeatureCollection", "name": "councils of an invented island", "features": features}
    path.write_text(json.dumps(collection, indent=1) + "\n", encoding="utf-8", newline="\n")


def _write(path, header, rows):
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(header)
        writer.writerows(rows)


def write_places(folder):
    folder.mkdir(parents=True, exist_ok=True)
    write_councils(folder / "councils.geojson")
    sites = [p for p in coast.PLACES if p["site_id"]]
    _write(
        folder / "sites.csv",
        ["site_id", "site", "kind", "council", "latitude", "longitude"],
        [[p["site_id"], p["place"], p["kind"], p["council"], p["latitude"], p["longitude"]] for p in sites],
    )
    by_id = {p["site_id"]: p for p in sites}
    _write(
        folder / "bins.csv",
        ["bin_id", "site_id", "latitude", "longitude", "decided", "installed", "removed"],
        [
            [
                b["bin_id"],
                b["site_id"],
                by_id[b["site_id"]]["latitude"],
                by_id[b["site_id"]]["longitude"],
                b["decided"],
                b["installed"],
                b["removed"],
            ]
            for b in coast.BINS
        ],
    )
    _write(
        folder / "gazetteer.csv",
        ["place", "latitude", "longitude", "uncertainty_m"],
        [
            [p["place"], p["latitude"], p["longitude"], 1500 if p["water"] == "inland" else 400]
            for p in coast.PLACES
        ],
    )
