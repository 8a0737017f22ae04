"""Places: three kinds of file give the same; slips are told all at once with line and remedy; turns are mended."""

import json
from datetime import date
from itertools import pairwise

import openpyxl
import pytest
from networks import write_network, write_text
from unsnag import resources
from unsnag.errors import Problems, UnsnagError, render
from unsnag.places import read_places
from unsnag.workspace import load
from unsnag.workspace.network import Region

REGION = Region(south=-31, north=-29, west=149, east=151)
SQUARE = [[150.0, -30.2], [150.2, -30.2], [150.2, -30.0], [150.0, -30.0], [150.0, -30.2]]
SITES = (
    "site_id,site,kind,latitude,longitude\nS1,Test Jetty,jetty,-30.1,150.1\nS2,Test Ramp,ramp,-30.15,150.15\n"
)
BINS = (
    "bin_id,site_id,decided,installed,removed\nB1,S1,2020-01-31,2020-07-01,\nB2,S2,,2021-01-01,2022-01-01\n"
)


def feature(ring, name="Test Shire", kind="Polygon", **properties):
    return {
        "type": "Feature",
        "properties": {"council": name, **properties},
        "geometry": {"type": kind, "coordinates": [ring]},
    }


def collection(*features, **more):
    return json.dumps({"type": "FeatureCollection", "features": list(features), **more})


@pytest.fixture
def folder(tmp_path):
    """A sound folder of places."""
    write_text(tmp_path / "councils.geojson", collection(feature(SQUARE)))
    (tmp_path / "sites.csv").write_text(SITES, encoding="utf-8")
    (tmp_path / "bins.csv").write_text(BINS, encoding="utf-8")
    return tmp_path


def told(folder):
    """Every problem of a folder, as the user reads it."""
    return [render(problem) for problem in read_places(folder, REGION)[1]]


def signed_area(ring):
    """Twice the area of a ring, positive if it runs counter-clockwise (shoelace formula)."""
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(ring))


def test_sound_places_are_read(folder):
    places, problems = read_places(folder, REGION)
    assert problems == [] and places.notes == ()
    assert [site[:6] for site in places.sites] == [
        ("S1", "Test Jetty", "jetty", "Test Shire", -30.1, 150.1),
        ("S2", "Test Ramp", "ramp", "Test Shire", -30.15, 150.15),
    ]
    assert [(bin_.bin_id, bin_.site_id, str(bin_.installed), str(bin_.removed)) for bin_ in places.bins] == [
        ("B1", "S1", "2020-07-01", "None"),
        ("B2", "S2", "2021-01-01", "2022-01-01"),
    ]


def test_a_workbook_and_geojson_give_the_same_sites_as_csv(folder):
    from_csv = [site[:6] for site in read_places(folder, REGION)[0].sites]
    rows = [line.split(",") for line in SITES.splitlines()]
    (folder / "sites.csv").unlink()
    book = openpyxl.Workbook()
    for row in rows[:1] + [[*row[:3], float(row[3]), float(row[4])] for row in rows[1:]]:
        book.active.append(row)
    book.save(folder / "sites.xlsx")
    assert [site[:6] for site in read_places(folder, REGION)[0].sites] == from_csv
    (folder / "sites.xlsx").unlink()
    points = [
        {
            "type": "Feature",
            "properties": dict(zip(rows[0][:3], row[:3], strict=True)),
            "geometry": {"type": "Point", "coordinates": [float(row[4]), float(row[3])]},
        }
        for row in rows[1:]
    ]
    write_text(folder / "sites.geojson", collection(*points))
    assert [site[:6] for site in read_places(folder, REGION)[0].sites] == from_csv


def test_a_day_of_a_workbook_is_a_day(folder):
    (folder / "bins.csv").unlink()
    book = openpyxl.Workbook()
    for row in (["bin_id", "site_id", "installed"], ["B1", "S1", date(2020, 7, 1)]):
        book.active.append(row)
    book.save(folder / "bins.xlsx")
    (only,) = read_places(folder, REGION)[0].bins
    assert only.installed == date(2020, 7, 1)


def test_a_ring_the_wrong_way_round_is_turned_and_said(folder):
    """RFC 7946, section 3.1.6: outer rings run counter-clockwise; readers should not refuse those that do not."""
    write_text(folder / "councils.geojson", collection(feature(SQUARE[::-1])))
    places, problems = read_places(folder, REGION)
    assert problems == []
    assert signed_area(SQUARE[::-1]) < 0 < signed_area(list(places.councils[0].area.exterior.coords))
    assert "feature 1: a ring of Test Shire ran the wrong way round" in places.notes[0]


BAD_AREAS = {
    "is not closed": feature(SQUARE[:-1]),
    "four are the least": feature([SQUARE[0], SQUARE[1], SQUARE[0]]),
    "crosses itself": feature([SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3], SQUARE[0]]),
    "are swapped": feature([[y, x] for x, y in SQUARE]),
    "outside the network's region": feature([[x - 100, y] for x, y in SQUARE]),
    "no area but Point": {"type": "Feature", "properties": {"council": "A"}, "geometry": {"type": "Point"}},
    "has no name": {"type": "Feature", "properties": {}, "geometry": {}},
    "no list of longitudes": feature([["a", "b"]] * 4),
}


@pytest.mark.parametrize("said", BAD_AREAS)
def test_an_unsound_area_is_told_with_its_feature(folder, said):
    write_text(folder / "councils.geojson", collection(BAD_AREAS[said]))
    assert any(said in text and "councils.geojson, feature 1" in text for text in told(folder))


BAD_SITES = {
    "S1,Other,jetty,-30.1,150.1": "'S1' stands more than once",
    "S3,Far,jetty,-29.5,150.1": "km outside Test Shire",
    "S3,Swapped,jetty,150.1,-30.1": "swapped",
    "S3,Words,jetty,south,150.1": "cannot be read",
    "S3,,jetty,-30.1,150.1": "needs a site_id and a name",
    "S3,Metres,jetty,6668000,500000": "nowhere on earth",
    "S3,Much,jetty,-30.1,150.1,more": "more cells than the heading",
}


@pytest.mark.parametrize(("row", "said"), BAD_SITES.items())
def test_an_unsound_site_is_told_with_its_line(folder, row, said):
    (folder / "sites.csv").write_text(f"{SITES}{row}\n", encoding="utf-8")
    assert any(said in text and "sites.csv, line 4" in text for text in told(folder))


BAD_BINS = {
    "B3,S9,,2020-01-01,": "there is no site 'S9'",
    "B3,S1,2020-02-01,2020-01-01,": "installed before it was decided",
    "B3,S1,,2020-01-01,2019-01-01": "removed before it stood",
    "B3,S1,,,": "no day of installation",
    "B3,S1,,1/2/2020,": "is no day",
    "B3,,,2020-01-01,": "has no place",
    "B1,S1,,2020-01-01,": "'B1' stands more than once",
}


@pytest.mark.parametrize(("row", "said"), BAD_BINS.items())
def test_an_unsound_bin_is_told_with_its_line(folder, row, said):
    (folder / "bins.csv").write_text(f"{BINS}{row}\n", encoding="utf-8")
    assert any(said in text and "bins.csv, line 4" in text for text in told(folder))


def test_a_bin_far_from_its_site_is_told(folder):
    (folder / "bins.csv").write_text(
        "bin_id,site_id,installed,latitude,longitude\nB1,S1,2020-01-01,-30.15,150.1\n", encoding="utf-8"
    )
    assert "m from the site 'S1'" in told(folder)[0]


def test_problems_of_all_files_are_told_at_once(folder):
    write_text(folder / "councils.geojson", collection(feature(SQUARE), feature(SQUARE, "Other Shire")))
    (folder / "sites.csv").write_text(SITES + "S3,Far,jetty,-29.5,150.1\n", encoding="utf-8")
    (folder / "bins.csv").write_text(BINS + "B3,S9,,2020-01-01,\n", encoding="utf-8")
    texts = "\n".join(told(folder))
    assert "overlap" in texts and "km outside" in texts and "there is no site 'S9'" in texts


def test_metres_of_a_stated_map_projection_by_definition(tmp_path):
    """UTM zone 56 south: its central meridian, 153 east, has easting 500,000, and the equator northing 10,000,000."""
    ring = [[152.9, -0.1], [153.1, -0.1], [153.1, 0.1], [152.9, 0.1], [152.9, -0.1]]
    write_text(tmp_path / "councils.geojson", collection(feature(ring)))
    (tmp_path / "sites.csv").write_text(
        "site_id,site,easting,northing,crs\nS1,Jetty,500000,10000000,EPSG:32756\n", encoding="utf-8"
    )
    places, problems = read_places(tmp_path, Region())
    assert problems == []
    assert (places.sites[0].latitude, places.sites[0].longitude) == pytest.approx((0, 153), abs=1e-7)


def test_a_datum_that_nobody_knows_is_told(folder):
    named = {"type": "name", "properties": {"name": "EPSG:999999"}}
    write_text(folder / "councils.geojson", collection(feature(SQUARE), crs=named))
    assert any("no known datum" in text for text in told(folder))


def test_broken_files_are_sentences(folder):
    (folder / "councils.geojson").write_text('{"type": "FeatureCollection",\n', encoding="utf-8")
    (folder / "sites.csv").write_bytes(b"\xff\xfe\x00")
    (folder / "bins.xlsx").write_bytes(b"no workbook")
    texts = told(folder)
    assert any("councils.geojson, line 2: this is no JSON" in text for text in texts)
    assert any("sites.csv: the file cannot be read" in text for text in texts)
    assert any("bins.csv and bins.xlsx both give bins" in text for text in texts)


def test_rules_of_siting_name_what_is_there(folder, tmp_path_factory):
    workspace = write_network(tmp_path_factory.mktemp("network"))
    folder.rename(workspace / "places")
    write_text(
        workspace / "places" / "siting.toml",
        'excluded = [{ site_id = "S9", reason = "x" }]\n[minimum]\n"Nowhere" = 1\n[reduction]\nlow = 0.9\n',
    )
    with pytest.raises(UnsnagError) as error:
        load(workspace)
    assert "assumed must lie between low and high" in render(error.value)
    write_text(
        workspace / "places" / "siting.toml",
        'excluded = [{ site_id = "S9", reason = "x" }]\n[minimum]\n"Nowhere" = 1\n',
    )
    with pytest.raises(Problems) as error:
        load(workspace)
    assert "no site 'S9'" in render(error.value) and "no council with a site 'Nowhere'" in render(error.value)


def test_a_workspace_without_places_has_none(tmp_path):
    places, problems = read_places(tmp_path, REGION)
    assert problems == [] and not any(places)


def test_the_demos_places_are_sound():
    places, problems = read_places(resources.folder("data_demo") / "places", Region())
    assert (problems, places.notes) == ([], ())
    assert (len(places.councils), len(places.sites), len(places.bins)) == (4, 20, 7)
