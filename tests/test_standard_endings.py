"""Ending, timing and status are three axes: one word of a clinic may fill any, days fill in the rest."""

import networks
import pytest

STAYS = """
    case_number,admission_date,arrival,outcome,outcome_status,outcome_timing,outcome_date,euthanasia_reason
    same day,2023-03-01,alive,died,,,2023-03-01,
    next day,2023-03-01,alive,euthanased,,,2023-03-02,suffering
    later,2023-03-01,,released,,,2023-03-11,
    hours,2023-03-01,,died,,within 24 hours,2023-03-02,
    triage,2023-03-01,,euthanased,,at triage,2023-03-01,
    carcass,2023-03-01,carcass,,,,,
    carcass gone,2023-03-01,dead,disposed,,,2023-03-01,
    doa,2023-03-01,,DOA,,,,
    doa timing,2023-03-01,,died,,dead on arrival,2023-03-01,
    pending,2023-03-01,,still in care,,,,
    open,2023-03-01,,,in care,,,
    silent,2023-03-01,,,,,,
    lost,2023-03-01,,unknown,,,,
    record lost,2023-03-01,,,record lost,,,
    zonked,2023-03-01,,zonked,,,2023-03-05,
    undated,2023-03-01,,died,,,,
    backwards,2023-03-01,,died,,,2023-02-01,
    moved,2023-03-01,,transferred,,,2023-03-04,
    kept,2023-03-01,,permanent care,,,2023-03-04,
    dead yet free,2023-03-01,dead,released,,,2023-03-04,
    """
TERMS = "outcome,doa,outcome_timing:before_admission\n"
# case → ending, class, timing, status, stay_days; the export is of 2024-01-31, day 336.
EXPECTED = {
    "same day": ("died", "died", "within_24_hours", "final", 0),
    "next day": ("euthanased", "euthanased", "next_day", "final", 1),
    "later": ("released", "released", "later", "final", 10),
    "hours": ("died", "died", "within_24_hours", "final", 1),
    "triage": ("euthanased", "euthanased", "at_triage", "final", 0),
    "carcass": ("died", "died", "before_admission", "final", None),
    "carcass gone": ("disposed", "other_known", "before_admission", "final", 0),
    "doa": ("died", "died", "before_admission", "final", None),
    "doa timing": ("died", "died", "before_admission", "final", 0),
    "pending": (None, "pending", None, "in_care", 336),
    "open": (None, "pending", None, "in_care", 336),
    "silent": (None, "unknown", None, "not_stated", 0),
    "lost": ("lost_sight", "unknown", None, "final", 0),
    "record lost": (None, "unknown", None, "record_lost", 0),
    "zonked": ("unmapped", "unknown", None, "not_stated", 4),
    "undated": ("died", "died", None, "final", None),
    "backwards": ("died", "died", None, "final", None),
    "moved": ("transferred_out", "transferred", "later", "final", 3),
    "kept": ("permanent_care", "captive", "later", "final", 3),
}


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = networks.write_network(tmp_path_factory.mktemp("endings"))
    networks.write_clinic(folder, "north", STAYS, terms=TERMS)
    return networks.build(folder)


@pytest.mark.parametrize(("number", "expected"), EXPECTED.items())
def test_an_ending_by_hand(built, number, expected):
    columns = "outcome_code, outcome_class, outcome_timing_code, outcome_status_code, stay_days"
    assert built.rows(f"select {columns} from mart.cases where case_id = 'north:{number}'") == [expected]


def test_only_the_dead_on_arrival_are_not_alive_on_arrival(built):
    dead = built.rows("select case_id from mart.cases where not is_alive_on_arrival")
    assert {case.removeprefix("north:") for (case,) in dead} == {
        "carcass",
        "carcass gone",
        "doa",
        "doa timing",
        "dead yet free",
    }


def test_the_reason_of_a_euthanasia_stays_with_it(built):
    reasons = built.values("select case_id, euthanasia_reason_code from mart.cases")
    assert {case for case, reason in reasons.items() if reason} == {"north:next day"}


def test_every_case_has_a_class_of_ending(built):
    assert built.one("select count(*) from mart.cases where outcome_class is null or outcome_class = ''") == 0


@pytest.mark.parametrize(
    ("rule", "expected"),
    [
        ("dead_yet_living_ending", {"dead yet free"}),
        ("ending_before_admission", {"backwards"}),
        ("outcome_without_day", {"undated", "lost"}),
    ],
)
def test_contradictions_are_asked(built, rule, expected):
    found = built.rows(f"select case_number from checks.found where rule = '{rule}'")
    assert {number for (number,) in found} == expected
