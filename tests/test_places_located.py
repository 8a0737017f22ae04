"""Where cases stand: every case in one way, incidents once, bins as they were known on a day, distances geodesic."""

from datetime import date

import networks
import pytest
from pyproj import Geod
from test_places_read import SITES, SQUARE, collection, feature
from unsnag import store
from unsnag.analyse import Mart
from unsnag.analyses import bin_effects, bin_siting, hot_spots, site_expected
from unsnag.workspace import load

STAYS = """
    case_number,admission_date,species,cause,latitude,longitude,place_uncertainty_m,found_place,animal_count
    1,2020-01-05,silver gull,fishing tackle,-30.1001,150.1001,50,,
    2,2020-02-05,silver gull,fishing tackle,-30.17,150.05,50,,
    3,2020-03-05,silver gull,fishing tackle,-30.1002,150.1001,5000,,
    4,2020-04-05,silver gull,fishing tackle,-30.1,150.205,50,,
    5,2020-05-05,silver gull,fishing tackle,-30.1,150.9,50,,
    6,2020-06-05,silver gull,fishing tackle,,,,,
    7,2020-07-05,silver gull,orphaned,-30.1,150.1,,,4
    8,2020-08-05,silver gull,fishing tackle,,,,Test Ramp,
    9,2020-08-06,silver gull,fishing tackle,-30.15,150.15,20,,
    10,2020-08-06,black swan,fishing tackle,-30.15,150.15,20,,
    11,2020-08-06,silver gull,fishing tackle,-30.15,150.15,20,,
"""
GEAR = """
    case_number,gear
    9,net
    10,net
    11,hook
"""
BINS = (
    "bin_id,site_id,decided,installed,removed\n"
    "B1,S1,2020-01-01,2020-02-01,2023-01-01\nB2,S2,2020-06-01,2024-01-31,\nB3,S2,2020-01-01,2024-02-01,\n"
)
STANDING = {
    "1": "at_site", "2": "away_from_sites", "3": "too_uncertain", "4": "just_outside", "5": "outside",
    "6": "no_place", "7": "at_site", "8": "at_site",
}  # fmt: skip


def lay_out(folder, with_places=True):
    networks.write_network(folder, "[region]\nsouth = -31\nnorth = -29\nwest = 149\neast = 151\n")
    networks.write_clinic(folder, "one", STAYS, sheets={"gear_item": GEAR})
    places = folder / "places"
    networks.write_text(
        places / "gazetteer.csv", "place,latitude,longitude,uncertainty_m\nTest Ramp,-30.15,150.15,400\n"
    )
    if with_places:
        networks.write_text(places / "councils.geojson", collection(feature(SQUARE)))
        networks.write_text(places / "sites.csv", SITES)
        networks.write_text(places / "bins.csv", BINS)
    return folder


@pytest.fixture(scope="module")
def network(tmp_path_factory):
    return networks.build(lay_out(tmp_path_factory.mktemp("network")))


def test_every_case_stands_in_one_way_by_hand(network):
    found = dict(
        network.rows(
            "select regexp_extract(case_id, ':([0-9]+)', 1), min(place_standing) from mart.case_places group by all"
        )
    )
    assert {number: found[number] for number in STANDING} == STANDING
    assert network.one("select count(*) from mart.case_places") == network.one(
        "select count(*) from mart.cases"
    )


def test_a_clutch_and_a_net_are_one_incident_each(network):
    """Four orphans of one record; a gull and a swan out of one net; a hooked gull beside them is its own incident."""
    rows = network.rows(
        "select animals, is_tackle, site_id from mart.incidents where animals > 1 or incident_date = '2020-08-06' "
        "order by all"
    )
    assert rows == [(1, True, "S2"), (2, True, "S2"), (4, False, "S1")]
    assert network.one("select sum(animals) from mart.incidents") == network.one(
        "select count(*) from mart.cases"
    )


def test_distances_are_those_of_pyproj(network):
    geod = Geod(ellps="WGS84")
    pairs = network.rows(
        "select pairs.latitude, pairs.longitude, sites.latitude, sites.longitude, distance_m "
        "from place.point_sites as pairs inner join place.sites as sites using (site_id)"
    )
    assert len(pairs) >= 4
    for latitude, longitude, site_latitude, site_longitude, metres in pairs:
        there = geod.inv(longitude, latitude, site_longitude, site_latitude)[2]
        assert metres == pytest.approx(there, abs=1e-6) and metres <= 500


def test_how_far_outside_a_council_matches_pyproj(network):
    """Due east of the square, 0.005 degrees at 30.1 south: the border's nearest point lies on the same parallel."""
    (metres,) = network.rows("select outside_m from place.points where longitude = 150.205")[0]
    assert metres == pytest.approx(Geod(ellps="WGS84").inv(150.205, -30.1, 150.2, -30.1)[2], abs=0.1)


def test_bins_are_those_that_were_known_on_the_day(network):
    """The day is 2024-01-31, the only export's: B2 has just come, B3 comes tomorrow."""
    rows = network.rows(
        "select bin_id, siting_from, installed, removed, is_first from mart.bins order by bin_id"
    )
    assert [row[0] for row in rows] == ["B1", "B2"]
    assert rows[0][1:] == (date(2019, 1, 1), date(2020, 2, 1), date(2023, 1, 1), True)


def test_a_removal_yet_to_come_is_not_known(tmp_path):
    workspace = load(lay_out(tmp_path)).known_on(date(2024, 1, 31))
    networks.write_text(tmp_path / "places" / "bins.csv", BINS.replace("2023-01-01", "2024-06-01"))
    store.build(load(tmp_path).known_on(date(2024, 1, 31)))
    with networks.reading(workspace.store) as connection:
        assert connection.execute("select removed from mart.bins where bin_id = 'B1'").fetchone() == (None,)


def test_the_year_that_decided_the_siting_is_no_part_of_before(network):
    periods = network.rows(
        "select period, period_from, period_to from mart.bin_periods where bin_id = 'B2' order by period_to"
    )
    assert periods == [
        ("before", date(2020, 1, 5), date(2020, 1, 4)),
        ("deciding", date(2020, 1, 5), date(2024, 1, 30)),
        ("after", date(2024, 1, 31), date(2024, 1, 31)),
    ]


def test_a_workspace_without_places_builds_and_has_nothing_to_tell_of_places(tmp_path):
    built = networks.build(lay_out(tmp_path, with_places=False))
    assert built.one("select count(*) from mart.case_places") == built.one("select count(*) from mart.cases")
    with networks.reading(load(tmp_path).store) as connection:
        mart = Mart(connection, {"siting": load(tmp_path).siting})
        for module in (hot_spots, site_expected, bin_siting, bin_effects):
            found = module.compute(mart)
            assert all(frame.empty for frame in (found.values() if isinstance(found, dict) else [found])), (
                module
            )
