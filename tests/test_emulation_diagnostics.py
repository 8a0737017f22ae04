"""Diagnostics of a comparison: published examples, exact identities, and records that cannot answer."""

import csv

import numpy as np
import pandas as pd
import pytest
from stats_references import published, shared_reference
from unsnag.stats.emulation import diagnostics
from unsnag.stats.emulation.evalue import e_value
from unsnag.stats.emulation.facts import strategy_facts
from unsnag.stats.emulation.landmark import landmark, overlap_weights
from unsnag.stats.emulation.multiplicity import benjamini_hochberg
from unsnag.stats.emulation.person_days import person_days
from unsnag.stats.emulation.trial import EVERYBODY, prepare
from unsnag.stats.emulation.verdict import judge


def test_e_value_from_memory():
    printed = published("emulation_e_value")
    value, limit = e_value(printed["ratio"], printed["low"], printed["high"])
    assert (round(value, 2), round(limit, 1)) == (printed["value"], printed["limit"])


def test_e_value_of_protection_is_that_of_the_inverse():
    assert e_value(1 / 3.9, 1 / 8.7, 1 / 1.8) == pytest.approx(e_value(3.9, 1.8, 8.7))
    assert e_value(1.2, 0.9, 1.6)[1] == 1


@pytest.mark.parametrize("limits", [(1.4, 0.0, 11.0), (0.7, 0.1, np.inf), (0.7, 0.0, np.inf)])
def test_limits_of_few_events_may_be_nought_and_endless(limits):
    """A resampling without an event on one side: the interval holds 1, so nothing need explain the ratio away."""
    assert e_value(*limits)[1] == 1


def test_ratios_out_of_order_are_refused():
    with pytest.raises(ValueError, match="0 <= low"):
        e_value(1.2, 1.3, 1.6)


def swimmer_turtles():
    """Rows of Swimmer et al. (2014), Aquatic Conserv 24:498; a star marks an inferred death."""
    path = shared_reference("data/hooked_loggerhead_psat/swimmer_2014.csv")
    with path.open(encoding="utf-8") as file:
        return [{name: value.strip(" *") for name, value in row.items()} for row in csv.DictReader(file)]


def test_removal_and_depth_cannot_be_told_apart_in_swimmer_2014():
    # ORIGIN.md of the rows: every shallow hook was removed (16 of 16) and no deep hook was (0 of 13).
    turtles = swimmer_turtles()
    removed = np.array([turtle["removed"] == "Y" for turtle in turtles])
    table = diagnostics.support([turtle["hookLoc"] for turtle in turtles], removed, ~removed)
    assert table[["level", "cases", "first", "second"]].to_numpy().tolist() == [
        ["Deep", 13, 0, 13],
        ["Shallow", 16, 16, 0],
    ]
    assert diagnostics.cannot_be_told_apart(table)


def test_a_trial_on_these_rows_comes_out_as_cannot_be_told_apart():
    # Taken as handled on day 0 and followed to a death within 60 days; whose removal went with depth has no answer.
    turtles = swimmer_turtles()
    names = [f"t{number}" for number in range(len(turtles))]
    cases = pd.DataFrame({"case": names, "clinic": "x", "taxon_group": "sea_turtle"})
    cases["depth"] = [turtle["hookLoc"] for turtle in turtles]
    rows = [
        (name, 0, "retrieval_manual")
        for name, turtle in zip(names, turtles, strict=True)
        if turtle["removed"] == "Y"
    ]
    rows += [(name, 60, "in_care") for name in names]
    days = person_days(cases, pd.DataFrame(rows, columns=["case", "day", "event"]), 60)
    removed = {"kind": "retrieve_within", "days": 0, "forced_over": 1}
    trial = prepare(days, {"removed": removed, "left": {"kind": "watch_at_least", "days": 60}}, ("depth",))
    facts = strategy_facts(trial, EVERYBODY, "left") | {"events": 0}
    assert judge(0.3, 0.2, 0.4, facts)["verdict"] == "cannot be told apart"


def test_one_level_with_both_tells_apart():
    table = diagnostics.support(list("aabb"), np.array([1, 0, 1, 0], bool), np.array([0, 1, 0, 0], bool))
    assert list(table["both_seen"]) == [True, False]
    assert not diagnostics.cannot_be_told_apart(table)


def test_a_strategy_that_nobody_followed_is_few_not_confused():
    table = diagnostics.support(list("ab"), np.array([True, True]), np.array([False, False]))
    assert not diagnostics.cannot_be_told_apart(table)


def test_balance_by_hand():
    cases = pd.DataFrame({"mass": [0.0, 0.0, 1.0, 1.0]})
    table = diagnostics.balance(cases, ["mass"], np.array([0.0, 3.0, 1.0, 2.0]))
    row = table.iloc[0]
    assert (row["eligible"], row["before"], row["after"]) == pytest.approx((1 / 2, 2 / 3, 1 / 2))
    assert (row["difference_before"], row["difference_after"]) == pytest.approx((1 / 3, 0))


def test_weight_range_by_hand():
    found = diagnostics.weight_range(np.array([0.0, 1, 1, 2]))
    assert found["effective_size"] == pytest.approx(16 / 6)
    assert (found["stayed"], found["largest"], found["mean_over_eligible"]) == (3, 2, 1)
    assert found["heaviest_share"] == pytest.approx(1 / 2)
    assert diagnostics.weight_range(np.zeros(3))["effective_size"] == 0


def test_overlap_weights_balance_exactly_li_morgan_zaslavsky_2018():
    generator = np.random.default_rng(2)
    matrix = np.column_stack([np.ones(300), generator.normal(size=(300, 2)), generator.integers(0, 2, 300)])
    treated = generator.random(300) < 1 / (1 + np.exp(-matrix @ [0.3, 1.0, -1.0, 0.5]))
    weight = overlap_weights(matrix, treated, np.ones(300))
    means = [np.average(matrix, axis=0, weights=weight * arm) for arm in (treated, ~treated)]
    np.testing.assert_allclose(means[0], means[1], atol=1e-8)
    assert abs(matrix[treated].mean(axis=0) - matrix[~treated].mean(axis=0)).max() > 0.5


def test_benjamini_hochberg_by_hand():
    # m p / rank, then the smallest from there on: 4 x 0.01, 4 x 0.02 / 2, 4 x 0.03 / 3, and the untested as 1.
    np.testing.assert_allclose(benjamini_hochberg([0.03, 0.01, np.nan, 0.02]), [0.04, 0.04, np.nan, 0.04])


def landmark_days():
    ends = {"a": (8, "released"), "b": (4, "died"), "c": (9, "released"), "d": (6, "died"), "e": (2, "died")}
    cases = pd.DataFrame({"case": list(ends), "clinic": "x", "taxon_group": "swan"})
    rows = [("a", 1, "retrieval_surgery"), ("b", 2, "retrieval_surgery"), ("c", 7, "retrieval_surgery")]
    rows += [(case, *ending) for case, ending in ends.items()]
    return person_days(cases, pd.DataFrame(rows, columns=["case", "day", "event"]), 9)


def test_landmark_compares_those_alive_then_by_hand():
    found = landmark(landmark_days(), 3, ())
    assert found["cases"] == (2, 2)  # e died before day 3; c was not yet retrieved then
    # Day 4 is the first after the landmark: b dies at once, a is free for 1 day of the last 9 - 8.
    np.testing.assert_allclose(found["retrieved"], [1 / 2, 1 / 2, 1 / 2, 5 / 2])
    np.testing.assert_allclose(found["carrying"], [1 / 2, 1 / 2, 0, 3 / 2])


def test_landmark_with_one_side_empty_has_no_answer():
    found = landmark(landmark_days(), 0, ())
    assert found["cases"] == (0, 5)
    assert np.isnan(found["retrieved"]).all()
    with pytest.raises(ValueError, match="give a day from 0 to 8"):
        landmark(landmark_days(), 9, ())
