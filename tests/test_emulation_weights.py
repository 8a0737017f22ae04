"""Weights of clones and weighted curves, worked by hand on four animals and checked as exact identities."""

import numpy as np
import pandas as pd
import pytest
from unsnag.stats.emulation.curves import horizon_measures, weighted_incidence
from unsnag.stats.emulation.person_days import person_days
from unsnag.stats.emulation.positivity import chance_of_following
from unsnag.stats.emulation.trial import clone_weights, estimate, prepare
from unsnag.stats.emulation.weights import cap_weights, decision_ratio, running_product, staying_weight

# Four alike animals. Chance of retrieval as seen: day 0 one in four, day 1 one in three, day 2 none in two.
RETRIEVED = {"a": (0, "retrieval_surgery"), "b": (1, "retrieval_surgery")}
ENDED = {"a": "released", "b": "died", "c": "released", "d": "died"}


def four_animals(strategies, attempts=RETRIEVED, **columns):
    cases = pd.DataFrame({"case": list(ENDED), "clinic": "x", "taxon_group": "swan"} | columns)
    rows = [(case, *attempt) for case, attempt in attempts.items()]
    rows += [(case, 2, ending) for case, ending in ENDED.items()]
    events = pd.DataFrame(rows, columns=["case", "day", "event"])
    return prepare(person_days(cases, events, 2), strategies, (), day_steps=(1, 2))


def only_weight(plain, **options):
    return next(clone_weights(four_animals({"s": plain}, **options)))


def test_retrieve_within_a_day_by_hand():
    weight = only_weight({"kind": "retrieve_within", "days": 1, "forced_over": 1})
    np.testing.assert_allclose(weight, [[1, 1, 1], [1, 3, 3], [1, 0, 0], [1, 0, 0]], atol=1e-6)


def test_forced_retrievals_spread_over_two_days_by_hand():
    # Day 0 asks 1/2 where 1/4 was seen, day 1 asks 1 where 1/3 was seen: 2; and (1/2)/(3/4), times 3.
    weight = only_weight({"kind": "retrieve_within", "days": 1, "forced_over": 2})
    np.testing.assert_allclose(weight, [[2, 2, 2], [2 / 3, 2, 2], [2 / 3, 0, 0], [2 / 3, 0, 0]], atol=1e-6)


def test_watch_one_day_by_hand():
    weight = only_weight({"kind": "watch_at_least", "days": 1})
    np.testing.assert_allclose(weight, [[0] * 3] + [[4 / 3] * 3] * 3, atol=1e-6)


def test_usual_care_keeps_every_clone_at_one():
    np.testing.assert_array_equal(only_weight({"kind": "usual_care"}), 1)


def test_surgery_first_doubles_those_whose_means_was_a_coin_toss_by_hand():
    mixed = RETRIEVED | {"b": (1, "retrieval_endoscopy")}
    weight = only_weight({"kind": "first_means", "means": "surgery"}, attempts=mixed)
    np.testing.assert_allclose(weight, [[2, 2, 2], [1, 0, 0], [1, 1, 1], [1, 1, 1]], atol=1e-6)


def test_line_cut_and_left_by_hand():
    # One line in four is cut on day 0; of those not cut, one in three is retrieved on day 1 and has left anyway.
    attempts = {"a": (0, "line_cut"), "b": (1, "retrieval_surgery")}
    plain = {"kind": "line_cut_and_left", "days": 0, "forced_over": 1}
    weight = only_weight(plain, attempts=attempts, has_line=True)
    np.testing.assert_allclose(weight, [[4, 4, 4], [0, 0, 0], [0, 0, 0], [0, 0, 0]], atol=1e-6)


def test_a_window_of_the_taxon_group_is_that_window():
    plain = {"kind": "retrieve_within", "days": 1, "forced_over": 1}
    for_swans = plain | {"days": 9, "by_taxon_group": {"swan": {"days": 1}}}
    np.testing.assert_array_equal(only_weight(for_swans), only_weight(plain))
    assert (only_weight(for_swans, taxon_group="gull_or_tern") == 1).all()


@pytest.mark.parametrize(
    "plain, chances",
    [
        # Day 1 is not forbidden: a had 3/4 of not being retrieved on day 0.
        ({"kind": "watch_at_least", "days": 1}, [3 / 4, 1, 1, 1]),
        # a would have had day 1 to pass, at 3/4 again; b passed day 0 and had 2/3 on day 1.
        ({"kind": "watch_at_least", "days": 2}, [9 / 16, 1 / 2, 1, 1]),
        # c and d could have been retrieved with 1/4 on day 0 or 1/3 on day 1.
        ({"kind": "retrieve_within", "days": 1, "forced_over": 1}, [1, 1, 1 / 2, 1 / 2]),
    ],
)
def test_chance_of_following_by_hand(plain, chances):
    trial = four_animals({"s": plain})
    chance = trial.retrieval.chance(np.ones(4, int))
    found = chance_of_following(
        trial.days, trial.strategies[0], trial.retrieval, trial.targets["s"][0], chance
    )
    np.testing.assert_allclose(found, chances, atol=1e-6)


def test_early_retrieval_by_hand_ends_one_quarter_released():
    trial = four_animals({"early": {"kind": "retrieve_within", "days": 1, "forced_over": 1}})
    released, dead, free, lost = estimate(trial, quantiles=(1.0,))[0, 0, 0]
    np.testing.assert_allclose([released, dead, free, lost], [1 / 4, 3 / 4, 0, 0], atol=1e-6)


def test_the_weight_rests_once_the_gear_has_passed():
    ratio = decision_ratio(np.array([0.0, np.nan]), np.array([0.2, 0.2]), np.array([False, False]))
    weight = running_product((1, 4), np.array([0, 0]), np.array([0, 1]), ratio)
    np.testing.assert_allclose(weight, [[1.25, 1.25, 1.25, 1.25]])


def test_a_strategy_nobody_could_follow_has_no_curve():
    trial = four_animals({"s": {"kind": "retrieve_within", "days": 1, "forced_over": 1}}, attempts={})
    assert np.isnan(estimate(trial)).all()


@pytest.mark.filterwarnings("error")
def test_weights_that_outgrow_all_numbers_leave_no_curve_and_no_warning():
    endless = running_product((1, 3), np.array([0, 0, 0]), np.arange(3), np.full(3, 1e200))
    np.testing.assert_array_equal(endless, [[1e200, np.inf, np.inf]])
    curve = weighted_incidence(endless, np.array([2]), np.array([0]), np.ones(1))
    assert np.isnan(curve[1:]).all() and not np.isnan(curve[0]).any()


def test_an_animal_that_was_not_drawn_weighs_nothing():
    trial = four_animals({"s": {"kind": "watch_at_least", "days": 1}})
    drawn = np.array([1, 2, 0, 1])
    weight = next(clone_weights(trial, drawn))
    assert (weight[2] == 0).all() and (weight[[1, 3]] > 1).all()


def test_staying_weight_works_from_the_next_day_by_hand():
    weight = staying_weight((2, 3), np.array([0, 0, 1]), np.array([0, 1, 0]), np.array([0.5, 0.2, 0.0]))
    np.testing.assert_allclose(weight, [[1, 2, 2.5], [1, 1, 1]])


def test_weights_are_capped_at_a_quantile_of_those_who_stayed():
    weight, ends = np.array([[1.0, 1], [1, 2], [1, 9], [1, 0]]), np.array([1, 1, 1, 1])
    capped = cap_weights(weight, ends, np.ones(4, int), 0.5)
    np.testing.assert_array_equal(capped, [[1, 1], [1, 2], [1, 2], [1, 0]])
    assert cap_weights(weight, ends, np.ones(4, int), 1.0) is weight


def test_weighted_curve_with_weights_that_change_by_hand():
    # Day 0: weights 1, 1, 2; the first is released. Day 1: weights 3, 1; the second dies. Day 2: third released.
    weight = np.array([[1.0, 0, 0], [1, 3, 0], [2, 1, 5]])
    curve = weighted_incidence(weight, np.array([0, 1, 2]), np.array([0, 1, 0]), np.ones(3))
    np.testing.assert_allclose(curve[:, 0], [1 / 4, 1 / 4, 1 / 4 + 3 / 4 * 1 / 4])
    np.testing.assert_allclose(curve[:, 1], [0, 3 / 4 * 3 / 4, 3 / 4 * 3 / 4])


def test_a_case_taken_twice_is_two_cases():
    weight = np.ones((3, 4)) * (np.arange(4) <= np.array([1, 2, 3])[:, None])
    ends, ending = np.array([1, 2, 3]), np.array([0, 1, 0])
    twice = weighted_incidence(weight, ends, ending, np.array([2, 1, 1]))
    rows = [0, 0, 1, 2]
    np.testing.assert_allclose(twice, weighted_incidence(weight[rows], ends[rows], ending[rows], np.ones(4)))


def test_measures_count_days_from_the_ending_to_the_horizon_by_hand():
    weight, ends = np.array([[1.0, 0, 0, 0], [1, 1, 0, 0], [1, 1, 1, 1]]), np.array([0, 1, 3])
    curve = weighted_incidence(weight, ends, np.array([1, 0, 2]), np.ones(3))
    # One dies on day 0 (3 days lost), one is released on day 1 (2 days free), one is euthanased on day 3 (none).
    assert horizon_measures(curve) == pytest.approx([1 / 3, 2 / 3, 2 / 3, 1])
