"""The slips put into the demo's exports on purpose are those that its truth counts, found by independent reading."""

import json
import tomllib
from collections import Counter

import demo_exports as demo
import pytest

DEMO, CLINICS = demo.DEMO, demo.CLINICS


def test_repeated_rows_are_those_in_the_truth():
    for clinic in CLINICS:
        rows = [json.dumps(row, default=str, sort_keys=True) for row in demo.main_rows(clinic)]
        twice = sorted(
            json.loads(row)[demo.number_column(clinic)] for row, times in Counter(rows).items() if times > 1
        )
        listed = demo.slips("repeated_row").get(clinic, [])
        assert twice == sorted(listed) if clinic != "lantern_rock" else set(listed) <= set(twice)


COORDINATES = {"marea_alta": ("Latitud", "Longitud"), "quennaby": ("Lat", "Long"), "tern_street": ("lat", "lon"),
               "lantern_rock": ("Lat", "Long")}  # fmt: skip


@pytest.mark.parametrize("clinic", COORDINATES)
def test_swapped_coordinates_are_those_in_the_truth_and_the_rest_lie_on_the_island(clinic):
    region = tomllib.loads((DEMO / "network.toml").read_text("utf-8"))["region"]
    swapped = set()
    for row in demo.main_rows(clinic):
        south, east = (float(str(row[name]).replace(",", ".")) for name in COORDINATES[clinic])
        if south > 0:
            swapped.add(row[demo.number_column(clinic)])
            south, east = east, south
        assert region["south"] < south < region["north"] and region["west"] < east < region["east"]
    assert swapped == set(demo.slips("swapped_coordinates").get(clinic, []))


MASSES = {"marea_alta": ("Peso (kg)", 1000), "quennaby": ("Weight (g)", 1), "tern_street": ("mass_g", 1),
          "skerrandine": ("KG", 1000)}  # fmt: skip


@pytest.mark.parametrize("clinic", MASSES)
def test_mass_slips_are_a_thousandfold_and_those_in_the_truth(clinic):
    column, factor = MASSES[clinic]
    true = {case["case_id"]: int(case["mass_g"]) for case in demo.truth("cases")}
    own = {
        stay["case_number"]: true[stay["case_id"]] for stay in demo.truth("stays") if stay["clinic"] == clinic
    }
    grams = {
        row[demo.number_column(clinic)]: float(str(row[column]).replace(",", ".")) * factor
        for row in demo.main_rows(clinic)
    }
    ratios = {number: mass / own[number] for number, mass in grams.items()}
    slipped = {number for number, ratio in ratios.items() if ratio > 900}
    assert slipped == set(demo.slips("mass_slip").get(clinic, []))
    assert all(ratio == pytest.approx(1) for number, ratio in ratios.items() if number not in slipped)


IMPOSSIBLE = {
    "marea_alta": ("Hallado", "31.2."),
    "quennaby": ("Found on", "31/09/"),
    "tern_street": ("found", "-02-30"),
    "skerrandine": ("FOUND", "13/31/"),
    "lantern_rock": ("Story", "Found 30/02/"),
}


@pytest.mark.parametrize("clinic", IMPOSSIBLE)
def test_impossible_dates_are_those_in_the_truth(clinic):
    column, mark = IMPOSSIBLE[clinic]
    rows = demo.main_rows(clinic)
    struck = {row[demo.number_column(clinic)] for row in rows if mark in str(row[column])}
    assert struck == set(demo.slips("impossible_found_date").get(clinic, []))


def test_each_kind_of_slip_happens_and_is_counted():
    kinds = Counter()
    for slip in demo.planted("dirt")["slip"]:
        assert slip["count"] == len(slip["case_numbers"])
        kinds[slip["kind"]] += slip["count"]
    assert set(kinds) == {
        "species_typo", "blank_severity", "blank_body_site", "impossible_found_date", "ending_before_admission",
        "repeated_row", "swapped_coordinates", "mass_slip", "second_number", "totals_row", "clutch_row",
        "corrected_in_later_export", "lacking_in_later_export"}  # fmt: skip
    assert all(kinds.values())
