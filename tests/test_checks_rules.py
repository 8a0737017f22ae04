"""Rules of good data: for each a record that fires, and one that nearly does (its number ends in 'not')."""

from pathlib import Path

import networks
import pytest
from conftest import CHECKOUT
from unsnag import checks, models
from unsnag.databases import reading

REGION = "[region]\nsouth = -30\nnorth = -20\nwest = 150\neast = 155\n"
# The mass of a Macquarie turtle is 3 to 6,000 g in codes/species.csv (from memory, as that file says).
STAYS = """
    case_number,admission_date,species,cause,mass,latitude,longitude,found_date,outcome,outcome_date,notes,arrival
    day_after_export,2023-01-01,gull,,,,,,released,2024-02-01,,
    day_after_export not,2023-01-01,gull,,,,,,released,2024-01-31,,
    day_after_export in,2024-02-01,gull,,,,,,pending,,,
    day_unreadable,2023-01-01,gull,,,,,2022-12-32,died,2023-01-05,,
    day_unreadable out,2023-01-01,gull,,,,,,died,2023-02-30,,
    day_unreadable not,2023-01-01,gull,,,,,2022-12-31,died,,,
    dead_words_live_status,2023-01-01,gull,,,,,,died,2023-01-05,Decomposed carcass from the beach,
    dead_words_live_status es,2023-01-01,gull,,,,,,died,2023-01-05,DESCOMPUESTA al llegar,
    dead_words_live_status not,2023-01-01,gull,,,,,,died,2023-01-05,fed on a carcassonne stew,
    dead_words_live_status nor,2023-01-01,gull,,,,,,,,Decomposed carcass,dead
    mass_implausible,2023-01-01,emydura macquarii,,6001,,,,died,2023-01-05,,
    mass_implausible low,2023-01-01,emydura macquarii,,2.9,,,,died,2023-01-05,,
    mass_implausible zero,2023-01-01,zonk,,0,,,,died,2023-01-05,,
    mass_implausible not,2023-01-01,emydura macquarii,,6000,,,,died,2023-01-05,,
    place_implausible,2023-01-01,gull,,,-31,152,,died,2023-01-05,,
    place_implausible swapped,2023-01-01,gull,,,152,-27,,died,2023-01-05,,
    place_implausible zero,2023-01-01,gull,,,0,0,,died,2023-01-05,,
    place_implausible not,2023-01-01,gull,,,-30,150,,died,2023-01-05,,
    procedure_outside_stay,2023-01-02,gull,,,,,,died,2023-01-05,,
    procedure_outside_stay late,2023-01-02,gull,,,,,,died,2023-01-05,,
    procedure_outside_stay not,2023-01-02,gull,,,,,,died,2023-01-05,,
    removed_after_gone,2023-01-02,gull,,,,,,released,2023-02-05,,
    removed_after_gone not,2023-01-02,gull,,,,,,released,2023-02-05,,
    early_release_after_surgery,2023-01-01,emydura macquarii,fish hook,,,,,released,2023-02-13,,
    early_release_after_surgery not,2023-01-01,emydura macquarii,fish hook,,,,,released,2023-02-14,,
    early_release_after_surgery bird,2023-01-01,gull,fish hook,,,,,released,2023-02-13,,
    day_without_year,2023-06-20,gull,,,,,,died,2.6.,,
    day_without_year found,2023-06-20,gull,,,,,30 Dec,died,2023-06-21,,
    day_without_year not,2023-06-20,gull,,,,,,died,2.16.16,,
    """
PROCEDURES = """
    case_number,procedure,procedure_date,procedure_result
    procedure_outside_stay,fluids,2023-01-01,
    procedure_outside_stay late,fluids,2023-01-06,
    procedure_outside_stay not,fluids,2023-01-02,
    procedure_outside_stay not,fluids,2023-01-05,
    day_unreadable not,fluids,2023-01-32,
    day_without_year not,fluids,29/2,
    removed_after_gone,endoscopic retrieval,2023-01-20,success
    removed_after_gone not,endoscopic retrieval,2023-01-10,success
    early_release_after_surgery,coeliotomy,2023-01-03,success
    early_release_after_surgery not,coeliotomy,2023-01-03,success
    early_release_after_surgery bird,coeliotomy,2023-01-03,success
    """
FINDINGS = """
    case_number,finding,finding_date
    removed_after_gone,hook passed,2023-01-10
    removed_after_gone not,hook passed,2023-01-10
    day_unreadable out,hook in place,99-99-99
    day_without_year,hook in place,4. Jan.
    """
FIRES = {
    "day_after_export": {"day_after_export", "day_after_export in"},
    "dead_words_live_status": {"dead_words_live_status", "dead_words_live_status es"},
    "mass_implausible": {"mass_implausible", "mass_implausible low", "mass_implausible zero"},
    "place_implausible": {"place_implausible", "place_implausible swapped", "place_implausible zero"},
    "procedure_outside_stay": {"procedure_outside_stay", "procedure_outside_stay late"},
    "removed_after_gone": {"removed_after_gone"},
    "early_release_after_surgery": {"early_release_after_surgery"},
}


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = networks.write_network(tmp_path_factory.mktemp("rules"), REGION)
    sheets = {"procedure": PROCEDURES, "finding": FINDINGS}
    networks.write_clinic(folder, "north", STAYS, sheets=sheets, units={"mass": "g"})
    return networks.build(folder)


def found(built, rule):
    return built.rows(f"select case_number, detail from checks.found where rule = '{rule}'")


@pytest.mark.parametrize(("rule", "expected"), FIRES.items())
def test_a_rule_fires_where_it_should_and_nearly_does_not(built, rule, expected):
    assert {number for number, _ in found(built, rule)} == expected


def test_unreadable_days_of_all_records_are_told_with_what_is_written(built):
    assert set(found(built, "day_unreadable")) == {
        ("day_unreadable", "found 2022-12-32"),
        ("day_unreadable out", "ended 2023-02-30"),
        ("day_unreadable not", "fluids on 2023-01-32"),
        ("day_unreadable out", "hook in place on 99-99-99"),
        ("day_without_year not", "ended 2.16.16"),
    }


def test_days_without_a_year_are_told_apart_from_unreadable_ones(built):
    assert set(found(built, "day_without_year")) == {
        ("day_without_year", "admitted 2023-06-20, ended 2.6."),
        ("day_without_year found", "admitted 2023-06-20, found 30 Dec"),
        ("day_without_year not", "fluids on 29/2"),
        ("day_without_year", "hook in place on 4. Jan."),
    }


def test_withheld_values_are_withheld_and_the_case_is_kept(built):
    told = "select mass_g, latitude from mart.cases where case_id = 'north:{}'"
    assert built.rows(told.format("mass_implausible")) == [(None, None)]
    assert built.rows(told.format("mass_implausible not")) == [(6000, None)]
    assert built.rows(told.format("place_implausible swapped")) == [(None, None)]
    assert built.rows(told.format("place_implausible not")) == [(None, -30)]


def test_a_finding_names_the_file_and_the_row(built):
    (where,) = built.rows(
        "select files.path, row_number from checks.found inner join raw.files as files using (file_id) "
        "where rule = 'mass_implausible' and case_number = 'mass_implausible'"
    )
    # The heading is row 1, the record is the eleventh below it.
    assert where == ("clinics/north/exports/stays/stays.csv", 12)


def test_every_rule_says_what_it_is_and_what_to_do(built):
    rules = built.rows("select rule, label, level, remedy from checks.rules")
    assert {rule for rule, *_ in rules} == {path.stem for path in (CHECKOUT / "sql" / "checks").glob("*.sql")}
    assert {level for *_, level, _ in rules} <= set(checks.LEVELS)
    assert [rule for rule, label, _, remedy in rules if not label.endswith(".") or not remedy] == []


def test_findings_are_counted_gravest_first(built):
    with reading(built.folder / "store" / "cases.duckdb") as connection:
        counted = checks.counts(connection)
    levels = [checks.LEVELS.index(level) for level, *_ in counted]
    assert levels == sorted(levels) and all(count > 0 for *_, count in counted)


def test_every_rule_is_named_in_a_test():
    """Each rule is proved somewhere in tests/, by name."""
    told = " ".join(path.read_text(encoding="utf-8") for path in Path(__file__).parent.glob("test_*.py"))
    assert [model.table for model in models.find(["checks"]) if f"{model.table}" not in told] == []
