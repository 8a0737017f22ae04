"""The briefs: two pages, the same bytes, said from rows that are there, and files that other programs read."""

import csv
import json
import re
import shutil
import subprocess
from html.parser import HTMLParser
from itertools import pairwise

import pandas
import pytest
import vl_convert
from conftest import skip_unless_ci
from report_frames import all_tables
from typer.testing import CliRunner
from unsnag.briefs import content, councils, geodata, write_briefs
from unsnag.briefs.writing import folder_name
from unsnag.cli import app

SHIRE = "Test Shire"
FRAMES = all_tables()
ABOUT = dict(FRAMES["about"].itertuples(index=False, name=None))


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    (written,) = write_briefs(FRAMES, tmp_path_factory.mktemp("briefs"), [SHIRE])
    return written


@pytest.fixture(scope="module")
def brief():
    return content.compose(FRAMES, ABOUT, SHIRE)


def test_the_answer_names_the_best_site_its_cases_and_the_assumption(brief):
    """Test Jetty: 6.1 cases newly reached (4.1 to 8.5), 1.8 prevented at 30 % (0.4 to 4.2 at 10 to 50 %), 87 of 100."""
    for said in ("Test Jetty", "6.1", "4.1 to 8.5", "30", "assumed", "1.8", "0.4", "4.2", "87 of 100"):
        assert said in brief.answer


def test_points_say_hot_busy_bins_and_their_trap(brief):
    points = " ".join(f"{head} {text}" for head, text in brief.points)
    for said in (
        "70 incidents",
        "Hot, not only busy: Test Jetty",
        "Test Wharf had many rescues",
        "pelican (40)",
    ):
        assert said in points
    assert "0.55 times as many; chance alone would make it 0.70" in points
    assert "Swallowed" not in points, "a withheld count has no place in the brief"


def test_tables_show_withheld_and_barred_figures_as_dashes(brief):
    ranked, sets, bins = brief.sheets
    assert ranked.rows[0][:4] == ("1", "Test Jetty", "hot spot", "6.0")
    assert ranked.rows[1][1] == "Test Wharf (has a bin)" and set(ranked.rows[1][5:]) == {"–"}
    assert ranked.rows[2][3:] == ("–",) * 6
    assert sets.rows == (("1", "Test Jetty", "70", "62 to 78"),)
    assert [row[0] for row in bins.rows] == [
        "All bins together",
        "Test Wharf, 2020",
        "Test Bar, 2023 to 2023",
    ]
    assert bins.rows[2][3] == "– (at least 0.50)"


def test_cautions_cover_what_every_public_output_carries(brief):
    said = " ".join(brief.cautions)
    for word in (
        "access, safety and heritage",
        "assumed",
        "mislead",
        "licensed rescuer",
        "attending veterinarian",
    ):
        assert word in said


def test_a_council_without_a_free_site_is_told_so():
    siting = FRAMES["bin_siting"].assign(rank=None)
    assert "No site" in content.compose(FRAMES | {"bin_siting": siting}, ABOUT, SHIRE).answer


def test_two_pages_tagged_and_titled(folder):
    if shutil.which("pdfinfo") is None:
        skip_unless_ci("pdfinfo is not installed")
    told = subprocess.run(
        ["pdfinfo", folder / "brief.pdf"], capture_output=True, text=True, check=True
    ).stdout
    assert re.search(r"Pages:\s+2\n", told) and re.search(r"Tagged:\s+yes", told)
    assert f"Bins for fishing line: {SHIRE}" in told


def test_a_council_with_many_sites_still_has_two_pages(tmp_path):
    if shutil.which("pdfinfo") is None:
        skip_unless_ci("pdfinfo is not installed")
    (written,) = write_briefs(many_sites(30), tmp_path, [SHIRE])
    told = subprocess.run(
        ["pdfinfo", written / "brief.pdf"], capture_output=True, text=True, check=True
    ).stdout
    assert re.search(r"Pages:\s+2\n", told)


def many_sites(number):
    """The tables with thirty candidate sites and eight bins."""
    frames = dict(FRAMES)
    for name in ("site_expected", "bin_siting"):
        first = frames[name][frames[name]["site_id"] == "S1"]
        copies = [
            first.assign(site_id=f"S1{i}", site=f"A jetty with a long name {i}", latitude=-30.01 - i / 200)
            for i in range(number)
            if name == "site_expected"
        ] or [
            first.assign(site_id=f"S1{i}", site=f"A jetty with a long name {i}", rank=i + 2)
            for i in range(number)
        ]
        frames[name] = pandas.concat([frames[name], *copies], ignore_index=True)
    bins = frames["bin_effects"]
    frames["bin_effects"] = pandas.concat([bins] + [bins[bins["bin_id"] == "B1"]] * 6, ignore_index=True)
    sets = frames["bin_sets"]
    frames["bin_sets"] = pandas.concat([sets.assign(bins=k, sites="Test Jetty, " * k) for k in range(1, 7)])
    return frames


def test_the_same_tables_give_the_same_bytes(folder, tmp_path):
    (again,) = write_briefs(FRAMES, tmp_path, [SHIRE])
    names = sorted(path.name for path in folder.iterdir())
    assert names == ["brief.html", "brief.pdf", "map.svg", "sites.csv", "sites.geojson"]
    for name in names:
        assert (folder / name).read_bytes() == (again / name).read_bytes(), name


def shoelace(ring):
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(ring))


def test_geojson_keeps_the_rules_of_rfc_7946(folder):
    """Read with the standard library: members, longitude first, closed rings counter-clockwise, no member crs."""
    told = json.loads((folder / "sites.geojson").read_text("utf-8"), parse_constant=pytest.fail)
    assert set(told) == {"type", "features"} and told["type"] == "FeatureCollection"
    area, *points = told["features"]
    assert {member for each in told["features"] for member in each} == {"type", "geometry", "properties"}
    (ring,) = area["geometry"]["coordinates"]
    assert ring[0] == ring[-1] and len(ring) >= 4 and shoelace(ring) > 0
    assert [each["geometry"]["type"] for each in points] == ["Point"] * 3
    assert [150.15, -30.05] in [each["geometry"]["coordinates"] for each in points]


def test_geojson_opens_in_a_second_reader(folder):
    """Vega's reader of GeoJSON draws one shape a feature."""
    told = json.loads((folder / "sites.geojson").read_text("utf-8"))
    spec = {
        "data": {"values": told, "format": {"property": "features"}},
        "mark": "geoshape",
        "projection": {"type": "identity"},
    }
    drawn = re.findall(r'<path transform="translate\(0,0\)" d="M', vl_convert.vegalite_to_svg(spec))
    assert len(drawn) == len(told["features"]) == 4


def test_csv_holds_the_same_sites_as_geojson(folder):
    rows = list(csv.DictReader((folder / "sites.csv").open(encoding="utf-8", newline="")))
    told = json.loads((folder / "sites.geojson").read_text("utf-8"))["features"][1:]
    assert (
        [row["site_id"] for row in rows]
        == [each["properties"]["site_id"] for each in told]
        == ["S1", "S2", "S3"]
    )
    assert (float(rows[0]["longitude"]), float(rows[0]["latitude"])) == tuple(
        told[0]["geometry"]["coordinates"]
    )
    assert rows[2]["expected"] == "" and told[2]["properties"]["expected"] is None


class Tags(HTMLParser):
    """Tags of a page with their attributes."""

    def __init__(self, text):
        super().__init__()
        self.found = []
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        self.found.append((tag, dict(attributes)))


def test_the_page_needs_nothing_from_elsewhere_and_describes_its_map(folder):
    tags = Tags((folder / "brief.html").read_text("utf-8")).found
    assert not [tag for tag, _ in tags if tag in ("script", "link", "iframe")]
    assert {a.get("href", "#") for tag, a in tags if tag == "a"} == {"#brief", "sites.geojson", "sites.csv"}
    maps = [a["aria-label"] for tag, a in tags if tag == "svg"]
    assert len(maps) == 2 and all(
        "Test Jetty: candidate number 1, 6.0 a year, a hot spot" in words for words in maps
    )


def test_names_of_councils_make_plain_folders():
    assert folder_name("Ku-ring-gai Council") == "ku_ring_gai_council"
    assert folder_name("São João / Norte") == "sao_joao_norte"


def test_every_council_of_the_demo_has_a_brief_with_its_own_sites_only(demo):
    result = CliRunner().invoke(app, ["sites", str(demo.folder)])
    assert result.exit_code == 0, result.output
    names = dict(
        demo.public("select council, list(site order by site) from public.site_expected group by all")
    )
    for council, own in names.items():
        place = demo.folder / "out" / "2024" / "sites" / folder_name(council)
        rows = list(csv.DictReader((place / "sites.csv").open(encoding="utf-8", newline="")))
        assert sorted(row["site"] for row in rows) == own
    assert councils({"site_expected": FRAMES["site_expected"], "councils": FRAMES["councils"]}) == [SHIRE]


def test_a_council_that_is_not_there_is_told(demo):
    result = CliRunner().invoke(app, ["sites", str(demo.folder), "--council", "Nowhere"])
    assert result.exit_code == 1
    assert "Quennaby Bay Council" in result.output


def test_whole_numbers_and_gaps_are_plain_in_geojson():
    told = json.loads(geodata.as_geojson(FRAMES, SHIRE))
    assert told["features"][0]["properties"]["sites"] == 3
    assert told["features"][2]["properties"]["rank"] is None
