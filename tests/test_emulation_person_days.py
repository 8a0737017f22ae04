"""Days in care from dated events, worked by hand."""

import numpy as np
import pandas as pd
import pytest
from unsnag.stats.emulation.person_days import ENDINGS, NEVER, person_days


def laid_out(*events, horizon=9, **columns):
    """Person-days of one invented case from (day, event) pairs."""
    columns = {"case": ["a"], "clinic": ["x"], "taxon_group": ["pelican"]} | columns
    rows = pd.DataFrame(events, columns=["day", "event"]).assign(case="a")
    return person_days(pd.DataFrame(columns), rows, horizon)


def days_of(state):
    return list(np.flatnonzero(state[0]))


def test_carrying_ends_with_the_retrieval_by_hand():
    days = laid_out((3, "retrieval_surgery"), (6, "released"))
    assert days_of(days.in_care) == [0, 1, 2, 3, 4, 5, 6]
    assert days_of(days.carrying) == [0, 1, 2, 3]  # day 3 still holds the decision that was taken
    assert (days.end_day[0], ENDINGS[days.ending[0]], days.means[0]) == (6, "released", "surgery")


def test_no_decision_is_left_on_the_day_on_which_the_gear_has_passed_by_hand():
    assert days_of(laid_out((3, "gear_passed"), (6, "released")).carrying) == [0, 1, 2]


def test_a_passing_before_a_retrieval_was_not_all_of_the_gear():
    days = laid_out((2, "gear_passed"), (4, "retrieval_endoscopy"), (6, "died"))
    assert days_of(days.carrying) == [0, 1, 2, 3, 4]


def test_first_attempt_counts_and_endoscopy_precedes_surgery_on_one_day():
    days = laid_out(
        (4, "retrieval_surgery"), (4, "retrieval_endoscopy"), (8, "retrieval_surgery"), (9, "died")
    )
    assert (days.retrieval_day[0], days.means[0]) == (4, "endoscopy")


def test_what_comes_after_the_ending_is_ignored():
    days = laid_out((2, "died"), (3, "retrieval_surgery"), (4, "worse"))
    assert (days.retrieval_day[0], days.means[0], days.line_day[0]) == (NEVER, "", NEVER)
    assert days_of(days.in_care) == [0, 1, 2]


def test_follow_up_stops_at_the_horizon_without_an_ending():
    days = laid_out((12, "released"), (11, "retrieval_surgery"))
    assert (days.end_day[0], days.ending[0], days.retrieval_day[0], days.lost[0]) == (9, -1, NEVER, False)


@pytest.mark.parametrize("event, lost", [("lost", True), ("transferred", True), ("in_care", False)])
def test_loss_is_told_from_the_end_of_the_records(event, lost):
    days = laid_out((5, event))
    assert (days.end_day[0], days.ending[0], days.lost[0]) == (5, -1, lost)


def test_spells_of_findings_by_hand():
    days = laid_out((1, "worse"), (3, "worse"), (4, "improved"), (6, "worse"), (8, "released"))
    assert list(days.worse_days[0]) == [-1, 0, 1, 2, -1, -1, 0, 1, 2, 3]


def test_films_by_hand():
    days = laid_out((2, "unmoved"), (4, "unmoved"), (6, "moved"), (8, "released"))
    assert list(days.position[0]) == [0, 0, 1, 1, 1, 1, 2, 2, 2, 2]
    assert list(days.unmoved_days[0]) == [-1, -1, 0, 1, 2, 3, -1, -1, -1, -1]
    assert days_of(days.film_today) == [2, 4, 6]


def test_the_graver_of_two_findings_on_one_day_counts():
    days = laid_out((2, "worse"), (2, "improved"), (3, "unmoved"), (3, "moved"), (8, "released"))
    assert (days.worse_days[0, 2], days.position[0, 3]) == (0, 2)


def test_line_is_open_to_a_decision_until_cut_by_hand():
    days = laid_out((2, "line_cut"), (5, "retrieval_manual"), (7, "released"), has_line=[True])
    assert days_of(days.with_line) == [0, 1, 2]
    assert days_of(days.line_cut) == list(range(2, 10))
    assert not laid_out((2, "line_cut"), (7, "released"), has_line=[False]).with_line.any()


def test_frame_has_one_row_per_day_in_care():
    frame = laid_out((1, "worse"), (2, "retrieval_surgery"), (3, "died")).frame()
    assert list(frame["day"]) == [0, 1, 2, 3]
    assert list(frame["retrieved"]) == ["", "", "surgery", ""]
    assert list(frame["ending"]) == ["", "", "", "died"]
    assert list(frame["carrying"]) == [True, True, True, False]
    assert list(frame["worse_days"]) == [-1, 0, 1, 2]


@pytest.mark.parametrize(
    "events, words",
    [
        ([(1, "worse")], "case a has 0 endings"),
        ([(1, "died"), (2, "released")], "case a has 2 endings"),
        ([(-1, "worse"), (2, "died")], "before day 0"),
        ([(None, "retrieval_surgery"), (2, "died")], "without a day"),
        ([(1, "sneezed"), (2, "died")], "'sneezed' is not known"),
    ],
)
def test_events_that_make_no_sense_are_refused(events, words):
    with pytest.raises(ValueError, match=words):
        laid_out(*events)


def test_a_missing_column_and_a_case_twice_are_refused():
    cases = pd.DataFrame({"case": ["a", "a"], "clinic": "x", "taxon_group": "gull_or_tern"})
    events = pd.DataFrame({"case": ["a"], "day": [1], "event": ["died"]})
    with pytest.raises(ValueError, match="stands twice"):
        person_days(cases, events, 5)
    with pytest.raises(ValueError, match="no column clinic"):
        person_days(cases[["case", "taxon_group"]], events, 5)
