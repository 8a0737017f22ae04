"""The emulated trial recovers an invented truth that the naive contrast and the published shortcut miss.

Each scenario is one large invented network. Tolerances are three Monte-Carlo standard errors: tests/benchmarks/
emulation_coverage.py finds a spread of 6 to 8 animals in 100 between networks of 400, hence 8 x sqrt(400 / 6000)
= 2.1 in a network of 6,000; the truth itself, two strategies of 25,000, adds a little. The full proof (bias,
coverage, few clinics, small networks) is that benchmark.
"""

from functools import cache

import numpy as np
import pytest
from unsnag.stats.emulation.diagnostics import balance, effective_size
from unsnag.stats.emulation.naive import ever_never, single_weight
from unsnag.stats.emulation.person_days import person_days
from unsnag.stats.emulation.positivity import hardly_followed
from unsnag.stats.emulation.trial import estimate, final_weights, prepare
from unsnag.stats.emulation.verdict import HARDLY_FOLLOWED
from unsnag.stats.simulate import SCENARIOS, network, truth

STRATEGIES = {
    "watch": {"kind": "watch_at_least", "days": 21},
    "early": {"kind": "retrieve_within", "days": 7},
}
CONFOUNDERS = ("clinic", "body_site", "severity", "taxon_group")
ELIGIBLE, TRUTH = 6_000, 25_000
TOLERANCE = 3 * np.sqrt(0.08**2 * 400 / ELIGIBLE + 2 * 0.25 / TRUTH)


@cache
def records(scenario):
    cases, events = network(SCENARIOS[scenario], ELIGIBLE, seed=41)
    return person_days(cases, events, SCENARIOS[scenario].horizon)


@cache
def trial(scenario):
    return prepare(records(scenario), STRATEGIES, CONFOUNDERS, by="body_site")


@cache
def estimates(scenario):
    return estimate(trial(scenario), quantiles=(1.0,))[0]


@cache
def true_values(scenario):
    return truth(SCENARIOS[scenario], STRATEGIES, seed=7, count=TRUTH, by="body_site")


def difference(values):
    return (values[1] - values[0])[:2]


@pytest.mark.parametrize("scenario", ["no_effect", "benefit", "harm", "losses"])
def test_difference_recovers_the_invented_truth(scenario):
    np.testing.assert_allclose(
        difference(estimates(scenario)[0]), difference(true_values(scenario)[0]), atol=TOLERANCE
    )


def test_no_effect_is_a_true_difference_of_nothing():
    np.testing.assert_array_equal(*true_values("no_effect")[0])


def test_strategy_that_follows_findings_recovers_the_invented_truth():
    # Usual care is what the records show, so its truth also says that records and truth share one process.
    plain = {
        "usual": {"kind": "usual_care"},
        "on_findings": {"kind": "watch_then", "if_worse": True, "if_unmoved_at": 14, "within": 3},
    }
    found = estimate(prepare(records("benefit"), plain, CONFOUNDERS), quantiles=(1.0,))[0, 0]
    true = truth(SCENARIOS["benefit"], plain, seed=7, count=TRUTH)[0]
    np.testing.assert_allclose(found[:, :2], true[:, :2], atol=TOLERANCE)
    np.testing.assert_allclose(found[0, :2], true[0, :2], atol=3 * np.sqrt(0.25 / ELIGIBLE + 0.25 / TRUTH))


def test_same_seed_same_network():
    first, second = (network(SCENARIOS["losses"], 50, seed=3) for _ in range(2))
    assert first[0].equals(second[0]) and first[1].equals(second[1])


@pytest.mark.parametrize("scenario, off", [("no_effect", 0.10), ("benefit", 0.08), ("harm", 0.12)])
def test_naive_contrast_is_visibly_wrong(scenario, off):
    error = ever_never(records(scenario))["difference"][0] - difference(true_values(scenario)[0])[0]
    assert abs(error) > off > TOLERANCE


def test_effect_that_depends_on_the_site_is_found_in_each_site():
    for place in (1, 2):
        found, true = (difference(each("site_dependent")[place]) for each in (estimates, true_values))
        np.testing.assert_allclose(found, true, atol=TOLERANCE * np.sqrt(2))
    mouth, stomach = (difference(estimates("site_dependent")[place]) for place in (1, 2))
    assert mouth[0] < 0 < stomach[0]


def test_a_single_weight_forgets_operative_deaths_that_daily_weights_count():
    true = true_values("operative_deaths")[0, 1, 1]
    assert single_weight(records("operative_deaths"), 7, CONFOUNDERS)[1] < true - 0.04
    assert estimates("operative_deaths")[0, 1, 1] == pytest.approx(true, abs=0.03)


def test_those_followed_differ_from_those_eligible_before_weighting():
    for weight in final_weights(trial("harm")).values():
        assert balance(records("harm").cases, CONFOUNDERS, weight)["difference_before"].abs().max() > 0.12


@pytest.mark.parametrize("scenario", ["harm", "losses"])
def test_weighting_gives_those_followed_the_look_of_those_eligible(scenario):
    for weight in final_weights(trial(scenario)).values():
        after = balance(records(scenario).cases, CONFOUNDERS, weight)["difference_after"]
        assert after.abs().max() < 3 / np.sqrt(effective_size(weight))  # three standard errors
        assert weight.mean() == pytest.approx(1, abs=3 * weight.std() / np.sqrt(ELIGIBLE))


@pytest.mark.parametrize(
    "scenario, low, high", [("benefit", 0, 0.02), ("barely_overlapping", HARDLY_FOLLOWED, 1)]
)
def test_animals_without_a_like_are_noticed_where_strategies_barely_overlap(scenario, low, high):
    everyone = trial(scenario).members[0]
    assert low <= hardly_followed(trial(scenario), trial(scenario).strategies[0], everyone) < high
