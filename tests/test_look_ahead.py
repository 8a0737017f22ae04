"""Hooks under watch: who is asked about on which day, what came first, and its chances by hand and as R has them."""

import csv
from datetime import date, timedelta

import networks
import numpy as np
import pandas as pd
import pytest
from analysing import computed
from conftest import CHECKOUT
from stats_references import r_data, r_output, rerun_matches_kept
from unsnag.analyses import look_ahead

WATCHED = {0: "in place", 7: "unmoved", 14: "unmoved"}
# Case → (gear, ending, its day, films by day, day of the first attempt: "" is an attempt without a day).
CASES = {
    "passed": ("hook", "released", 58, WATCHED | {21: "hook passed"}, None),
    "attempt": ("hook", "released", 58, WATCHED, 21),
    "died": ("hook", "died", 24, WATCHED, None),
    "handed on": ("hook", "transferred", 24, WATCHED, None),
    "lost": ("hook", "transferred", 22, WATCHED, None),
    "late": ("hook", "released", 58, WATCHED | {21: "unmoved", 28: "hook passed"}, None),
    "moved": ("hook", "released", 58, WATCHED | {14: "moved"}, None),
    "early": ("hook", "released", 58, {0: "in place", 7: "unmoved"}, 10),
    "unseen": ("hook", "released", 58, {0: "in place", 5: "not seen"}, None),
    "old film": ("hook", "released", 58, {0: "in place", 6: "unmoved"}, None),
    "that day": ("hook", "released", 58, {0: "in place"}, 0),
    "line": ("line", "released", 58, WATCHED, None),
    "undated": ("hook", "released", 58, WATCHED, ""),
    "not said": ("hook", "released", 58, WATCHED, None),
}
# Case → landmark → (first event, days to it, days if it passed right after the last film), by hand.
EXPECTED = {
    "passed": {0: ("passed", 21, 14), 7: ("passed", 14, 7), 14: ("passed", 7, 0)},
    "attempt": {0: ("attempt", 21, 21), 7: ("attempt", 14, 14), 14: ("attempt", 7, 7)},
    "died": {0: ("dead", 24, 24), 7: ("dead", 17, 17), 14: ("dead", 10, 10), 21: ("dead", 3, 3)},
    "handed on": {0: ("", 24, 24), 7: ("", 17, 17), 14: ("", 10, 10), 21: ("", 3, 3)},
    "lost": {0: ("", 22, 22), 7: ("", 15, 15), 14: ("", 8, 8), 21: ("", 1, 1)},
    "late": {0: ("passed", 28, 21), 7: ("passed", 21, 14), 14: ("passed", 14, 7), 21: ("passed", 7, 0)},
    "moved": {0: ("left_care", 58, 58), 7: ("left_care", 51, 51)},
    "early": {0: ("attempt", 10, 10), 7: ("attempt", 3, 3)},
    "unseen": {0: ("passed", 5, 0)},
    # Unmoved on day 6: on day 14 both films are no older than two weeks, on day 21 they are.
    "old film": {0: ("left_care", 58, 58), 7: ("left_care", 51, 51), 14: ("left_care", 44, 44)},
}
SIX = ("passed", "attempt", "died", "handed on", "lost", "late")


def on_day(days):
    return "" if days == "" else str(date(2023, 1, 1) + timedelta(days=days))


def table(heading, lines):
    return "\n".join([heading, *lines]) + "\n"


def build(folder, names):
    """One clinic with these cases."""
    cases = {name: CASES[name] for name in names}
    stays = [
        f"{name},2023-01-01,gull,fishing tackle,{ending},{on_day(day)},{'no' if name == 'not said' else ''}"
        for name, (_, ending, day, *_) in cases.items()
    ]
    gear = [f"{name},{case[0]},ingested,stomach" for name, case in cases.items()]
    films = [f"{name},{on_day(day)},{seen}" for name, case in cases.items() for day, seen in case[3].items()]
    attempts = [
        f"{name},endoscopic retrieval,{on_day(case[4])}"
        for name, case in cases.items()
        if case[4] is not None
    ]
    sheets = {
        "gear_item": table("case_number,gear,injury,body_site", gear),
        "finding": table("case_number,finding_date,finding", films),
        "procedure": table("case_number,procedure,procedure_date", attempts),
    }
    heading = "case_number,admission_date,species,cause,outcome,outcome_date,gear_at_release"
    networks.write_network(folder)
    networks.write_clinic(folder, "north", table(heading, stays), sheets=sheets)
    return networks.build(folder)


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    return build(tmp_path_factory.mktemp("hooks"), CASES)


@pytest.mark.parametrize("name", CASES)
def test_who_is_asked_about_and_what_came_first_by_hand(built, name):
    told = built.rows(
        "select landmark_days, first_event, event_days, earliest_days from mart.look_ahead "
        f"where case_id = 'north:{name}'"
    )
    assert {day: tuple(event) for day, *event in told} == EXPECTED.get(name, {})


def test_records_that_do_not_tell_what_came_first_are_left_out_with_the_reason(built):
    told = built.values("select case_id, why_left_out from mart.watched_hooks where why_left_out is not null")
    assert told == {"north:undated": "attempt without a day", "north:not said": "gone, not said how"}
    assert "north:line" not in dict(built.rows("select case_id, 1 from mart.watched_hooks"))


def test_chances_of_six_hooks_by_hand(tmp_path):
    """Day 7: one passes, one is retrieved; 8: one is lost; 10: a death and a loss; 14: the last one passes."""
    frame = computed(build(tmp_path, SIX), look_ahead)
    asked = frame.query("landmark_days == 14 and taxon_group_code == 'all' and body_site_code == 'all'")
    chances = asked.set_index(["event", "horizon_days"])["chance"].to_dict()
    expected = {
        ("passed", 7): 1 / 6, ("attempt", 7): 1 / 6, ("dead", 7): 0, ("left_care", 7): 0, ("still_there", 7): 4 / 6,
        ("passed", 14): 1 / 6 + 4 / 9, ("attempt", 14): 1 / 6, ("dead", 14): 2 / 9, ("left_care", 14): 0,
        ("still_there", 14): 0,
        ("passed", 28): 1 / 6 + 4 / 9, ("attempt", 28): 1 / 6, ("dead", 28): 2 / 9, ("left_care", 28): 0,
        ("still_there", 28): 0,
    }  # fmt: skip
    assert chances == {key: pytest.approx(100 * share) for key, share in expected.items()}
    counts = asked.set_index(["event", "horizon_days"])["count"]
    assert (counts["passed", 7], counts["passed", 14], counts["dead", 14], counts["still_there", 7]) == (
        1,
        2,
        1,
        4,
    )
    # Passed right after the last film: one on the landmark itself, one on day 7; then nobody is seen beyond day 10.
    early = asked.set_index(["event", "horizon_days"])["chance_if_early"]
    assert early["passed", 7] == pytest.approx(100 * (1 / 6 + 5 / 6 / 5))
    assert early["still_there", 7] == pytest.approx(100 * 3 / 6)
    assert np.isnan(early["passed", 14])


def landmark_of_mgus2(months):
    """The subset at risk beyond the landmark as look_ahead counts hooks: pcm stands for passing, death for death."""
    data = r_data("mgus2")
    later = data["months"] > months
    days = pd.DataFrame(
        {
            "event_days": (data["months"][later] - months).astype(int),
            "first_event": pd.Series(data["cause"][later]).map(
                {"pcm": "passed", "death": "dead", "censored": ""}
            ),
            "animals": 1,
        }
    )
    return days.assign(landmark_days=months, taxon_group_code="all", body_site_code="all")


@pytest.mark.parametrize("months", [0, 24])
def test_chances_and_limits_match_r_survival(months):
    days = landmark_of_mgus2(months)
    told = look_ahead.by_horizon(days, "event_days").set_index(["event", "horizon_days"])
    names = {"pcm": "passed", "death": "dead", "still": "still_there"}
    compared = 0
    for quantity, value in r_output("look_ahead").items():
        landmark, state, *of = quantity.split()
        if int(landmark) == months and state != "animals":
            figure = told.loc[(names[state], int(of[0])), of[1]]
            assert figure == pytest.approx(100 * value, abs=1e-6), quantity
            compared += 1
    assert compared == 27 and len(days) == r_output("look_ahead")[f"{months} animals"]


def test_r_script_gives_the_kept_figures():
    rerun_matches_kept("look_ahead", "survival")


def test_first_attempt_and_passing_of_swallowed_hooks_recover_the_invented_truth(demo):
    """Where nothing came from notes, and all stays were joined: without, records of a second clinic are missing."""
    with (CHECKOUT / "data_demo" / "truth" / "cases.csv").open(encoding="utf-8") as file:
        true = {row["stays"].split(" > ")[0]: row for row in csv.DictReader(file)}
    told = demo.rows(
        "select split_part(case_id, ':', 2), stay_count, attempt_days, passed_days is not null "
        "from mart.watched_hooks inner join mart.cases using (case_id) where not is_from_notes"
    )
    known = [(true[number], *row) for number, *row in told if number in true]
    whole = [row for row in known if row[1] == len(row[0]["stays"].split(" > "))]
    for case, _, attempt_days, has_passed in whole:
        is_attempt = case["first_treatment"] not in ("", "line_cut_hook_left")
        assert attempt_days == (int(case["first_treatment_days"]) if is_attempt else None), case["case_id"]
        assert has_passed == (case["gear_fate"] == "passed"), case["case_id"]
    assert len(whole) > 300 and len(known) - len(whole) < 10
