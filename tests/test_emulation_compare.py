"""Tables of a comparison, resampling, and the facts for the verdict, on a small invented network."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm
from unsnag.stats.emulation.bootstrap import case_counts, percentile_interval, replicate, two_sided_p
from unsnag.stats.emulation.compare import compare
from unsnag.stats.emulation.diagnostics import flow
from unsnag.stats.emulation.facts import Others, comparison_facts
from unsnag.stats.emulation.person_days import person_days
from unsnag.stats.emulation.sensitivity import scenarios, without_each_clinic
from unsnag.stats.emulation.trial import EVERYBODY, clone_weights, prepare
from unsnag.stats.emulation.verdict import DOUBTS, FLOORS, judge
from unsnag.stats.simulate import SCENARIOS, network

STRATEGIES = {
    "watch": {"kind": "watch_at_least", "days": 21},
    "early": {"kind": "retrieve_within", "days": 7},
}
CONFOUNDERS = ("clinic", "body_site", "severity", "taxon_group")


@pytest.fixture(scope="module")
def trial():
    scenario = replace(SCENARIOS["losses"], clinics=3, loss=0.003)
    cases, events = network(scenario, 300, seed=5)
    return prepare(person_days(cases, events, scenario.horizon), STRATEGIES, CONFOUNDERS, by="body_site")


@pytest.fixture(scope="module")
def comparison(trial):
    return compare(trial, replicates=60, seed=3)


def test_cases_are_drawn_within_their_clinic():
    clinic = np.array(list("aaabbbbb"))
    counts = case_counts(clinic, 50, seed=1)
    assert (counts[:, clinic == "a"].sum(axis=1) == 3).all() and (
        counts[:, clinic == "b"].sum(axis=1) == 5
    ).all()
    np.testing.assert_array_equal(counts, case_counts(clinic, 50, seed=1))
    assert (counts != case_counts(clinic, 50, seed=2)).any()


def test_bootstrap_spread_of_a_mean_is_its_standard_error():
    values = np.random.default_rng(4).normal(size=200)
    draws = replicate(lambda counts: counts @ values / 200, case_counts(np.full(200, "a"), 4000, seed=1))
    # Monte-Carlo error of a standard deviation from 4000 draws: one part in sqrt(8000), thrice that allowed.
    assert draws.std() == pytest.approx(values.std() / np.sqrt(200), rel=3 / np.sqrt(8000))


def test_the_number_of_workers_changes_nothing():
    clinic = np.array(list("aabb"))
    counts = case_counts(clinic, 6, seed=1)
    np.testing.assert_array_equal(replicate(np.cumsum, counts, workers=2), replicate(np.cumsum, counts))


def test_percentile_limits_and_p_by_hand():
    draws = np.arange(-9, 91, dtype=float)  # 9 below zero, zero itself, 90 above
    low, high = percentile_interval(draws, level=0.9)
    smallest = -10  # of 100 draws, one a unit, the 101 q-th smallest (Davison & Hinkley 1997, ch. 5)
    assert (float(low), float(high)) == pytest.approx((smallest + 0.05 * 101, smallest + 0.95 * 101))
    assert two_sided_p(draws) == pytest.approx(2 * (10 + 1) / 101)


def test_limits_of_few_animals_are_students():
    """Resamplings of a mean of ten spread by the divisor 10 for 9; the limits must be those of the t interval."""
    ten, resamplings, students_t = (
        10,
        9_999,
        2.262,
    )  # a printed table of t: 9 degrees of freedom, 2.5 % (from memory)
    quantiles = norm.ppf(np.arange(1, resamplings + 1) / (resamplings + 1))
    draws = quantiles * np.sqrt((ten - 1) / ten)  # in standard errors with the divisor 9
    low, high = percentile_interval(draws, effective_size=ten)
    assert (-low, high) == pytest.approx((students_t, students_t), abs=5e-3)
    at_the_limit = draws + students_t
    assert two_sided_p(at_the_limit, effective_size=ten) == pytest.approx(0.05, abs=1e-3)


def test_the_quantile_is_numpys_of_the_same_definition():
    draws = np.random.default_rng(1).normal(size=(80, 3, 2))
    draws[:3, 1] = np.nan
    low, high = percentile_interval(draws, tolerated=0.1)
    expected = np.nanquantile(draws, [0.025, 0.975], axis=0, method="weibull")
    np.testing.assert_allclose((low, high), expected, rtol=1e-12)


def test_too_many_failed_replicates_leave_no_limits():
    draws = np.where(np.arange(100) < 6, np.nan, 1.0)
    assert np.isnan(percentile_interval(draws)).all()
    assert percentile_interval(draws, tolerated=0.06) == (1.0, 1.0)


def test_without_groups_there_are_no_interactions(trial):
    found = compare(prepare(trial.days, STRATEGIES, CONFOUNDERS), replicates=3, quantiles=(1.0,))
    assert found.interactions.empty and len(found.differences) == 4
    assert percentile_interval(np.empty((5, 0, 2)))[0].shape == (0, 2)


def test_differences_and_ratios_follow_from_the_estimates(comparison):
    keys = ["truncation", "group", "measure"]
    wide = comparison.estimates.pivot(index=keys, columns="strategy", values="estimate")
    found = comparison.differences.set_index(keys)["estimate"]
    np.testing.assert_allclose(found, (wide["early"] - wide["watch"]).loc[found.index])
    ratio = comparison.ratios.set_index(keys)["estimate"]
    np.testing.assert_allclose(ratio, (wide["early"] / wide["watch"]).loc[ratio.index])


def test_interaction_is_the_difference_between_groups(comparison):
    found = comparison.interactions.set_index(["truncation", "measure"])["estimate"]
    wide = comparison.differences.pivot(index=["truncation", "measure"], columns="group", values="estimate")
    np.testing.assert_allclose(found, (wide["stomach"] - wide["mouth"]).loc[found.index])
    assert list(comparison.interactions["group"].unique()) == ["stomach"]


def test_same_seed_same_table(trial, comparison):
    assert compare(trial, replicates=60, seed=3).differences.equals(comparison.differences)
    assert not compare(trial, replicates=60, seed=4).differences.equals(comparison.differences)


def test_groups_of_two_features_are_those_of_each_feature_alone(trial, comparison):
    days = trial.days
    both = compare(
        prepare(days, STRATEGIES, CONFOUNDERS, by=("severity", "body_site")), replicates=60, seed=3
    )
    for frame in ("differences", "interactions"):
        found, alone = getattr(both, frame), getattr(comparison, frame)
        found = found[found["by"] != "severity"].reset_index(drop=True)
        np.testing.assert_allclose(found["estimate"], alone["estimate"], atol=1e-12)
        np.testing.assert_allclose(found["low"], alone["low"], atol=1e-12)
    assert set(both.interactions["by"]) == {"severity", "body_site"}


def test_flow_counts_every_clone_once(trial):
    weights = dict(zip(STRATEGIES, clone_weights(trial), strict=True))
    table = flow(trial.days, weights)
    assert (table["left_strategy"] + table["stayed"] == 300).all()
    ends = ["released", "died", "euthanased", "other", "lost", "in_care_at_horizon"]
    assert (table[ends].sum(axis=1) == table["stayed"]).all() and (table["left_strategy"] > 0).all()


@pytest.fixture(scope="module")
def others(trial):
    return Others(without_each_clinic(trial), scenarios(trial))


def test_facts_are_what_the_rules_ask_for(trial, comparison, others):
    facts = comparison_facts(trial, comparison, others, EVERYBODY, "early", "released")
    assert set(facts) == {*FLOORS, *(rule.fact for rule in DOUBTS), "told_apart"}
    assert facts["clinics"] == facts["clinics_with_both"] == 3 and facts["told_apart"]
    row = comparison.differences.query("truncation == 1 and group == 'all' and measure == 'released'").iloc[0]
    answer = judge(row["estimate"], row["low"], row["high"], facts)
    assert "fewer than five clinics" in answer["reasons"] or answer["certainty"] == ""


def test_facts_of_a_group_count_that_group_only(trial, comparison, others):
    asked = [
        comparison_facts(trial, comparison, others, group, "early", "released") for group in trial.groups
    ]
    everyone, mouth, stomach = (facts["events"] for facts in asked)
    assert 0 < min(mouth, stomach) <= max(mouth, stomach) < everyone


def test_a_supposition_that_turns_the_result_round_is_counted(trial, comparison, others):
    turned = others.scenarios.assign(difference=-others.scenarios["difference"])
    turned = turned[turned["scenario"].isin(["open_released", "open_died"])]
    found = [
        comparison_facts(trial, comparison, replace(others, scenarios=frame), EVERYBODY, "early", "released")
        for frame in (turned, turned.assign(scenario="without_notes"), turned[:0])
    ]
    counted = [(facts["sign_changes_by_open_cases"], facts["sign_changes_without_notes"]) for facts in found]
    assert counted == [(2, 0), (0, 2), (0, 0)]
