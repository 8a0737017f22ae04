"""Convalescence after a coeliotomy and what is known after release, by hand."""

import networks
import pytest
from analysing import computed
from unsnag.analyses import after_release, milestones

STAYS = """
    case_number,band,admission_date,species,cause,injury,gear,outcome,outcome_date,arrival,seen_again_date,seen_again
    one,T1,2023-01-01,emydura macquarii,fishing tackle,ingested,hook,released,2023-03-01,,2023-03-11,alive and well
    two,T2,2023-01-01,emydura macquarii,fishing tackle,ingested,hook,released,2023-02-10,,,found dead on a road
    three,T3,2023-01-01,emydura macquarii,fishing tackle,ingested,hook,died,2023-01-20,,,
    gull,,2023-01-01,gull,fishing tackle,ingested,hook,released,2023-03-01,,,
    again,G1,2023-01-01,gull,fishing tackle,ingested,hook,released,2023-01-31,,,
    later,G1,2023-02-20,gull,vehicle,,,died,2023-02-20,dead,,
    back,G2,2023-01-01,gull,fishing tackle,ingested,hook,released,2023-01-31,,2023-02-05,seen feeding
    home,G2,2023-03-02,gull,fishing tackle,embedded,hook,released,2023-03-12,,,
    """
PROCEDURES = """
    case_number,procedure,procedure_date
    one,dry dock,2023-01-04
    one,coeliotomy,2023-01-05
    one,coeliotomy,2023-01-11
    one,dry dock,2023-01-12
    one,immersion,2023-01-23
    one,sutures removed,2023-02-22
    two,coeliotomy,2023-01-03
    two,immersion,2023-01-23
    gull,coeliotomy,2023-01-03
    gull,sutures removed,2023-01-23
    """
FINDINGS = "case_number,finding,finding_date\none,eating,2023-01-30\none,eating,2023-02-01\n"
# Milestone → turtles that reached it, quartiles of the days, how many within the window of common practice.
MILESTONES = {
    "dry_dock": (1, 1, 1, 1, 1),
    "immersion": (2, 12, 16, 20, 1),
    "feeding": (1, 19, 19, 19, 1),
    "suture_removal": (1, 42, 42, 42, 1),
    "release": (2, 38, 43.5, 49, 1),
}
# Released tackle cases: one, two, gull, again, back, home. Event → animals, with a day, median days after release.
AFTER = {"seen_again": (4, 3, 10), "readmitted": (2, 2, 25), "recovered_dead": (2, 1, 20)}


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = networks.write_network(tmp_path_factory.mktemp("milestones"))
    networks.write_clinic(folder, "north", STAYS, sheets={"procedure": PROCEDURES, "finding": FINDINGS})
    return networks.build(folder)


def test_milestones_count_from_the_last_operation_by_hand(built):
    frame = computed(built, milestones).set_index("milestone")
    told = frame[["animals", "quartile_low", "median_days", "quartile_high", "within"]]
    assert {name: tuple(row) for name, row in told.iterrows()} == MILESTONES
    assert set(frame["operated"]) == {2} and list(frame.index) == list(MILESTONES)


def test_what_is_known_after_release_by_hand(built):
    frame = computed(built, after_release).query("grouping == 'all'").set_index("event")
    assert set(frame["released"]) == {6}
    told = frame[["count", "dated", "median_days"]]
    assert {event: tuple(row) for event, row in told.iterrows()} == AFTER


def test_a_readmission_counts_for_the_group_of_the_released(built):
    frame = computed(built, after_release).set_index(["group_code", "event"])
    assert frame.loc[("gull_or_tern", "readmitted"), ["released", "count"]].tolist() == [4, 2]
    assert frame.loc[("freshwater_turtle", "readmitted"), ["released", "count"]].tolist() == [2, 0]
