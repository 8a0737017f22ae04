import numpy as np
import pytest
from scipy.stats import binom
from stats_references import published, r_output, rerun_matches_kept
from unsnag.stats.bounds import unresolved_bounds
from unsnag.stats.proportions import clopper_pearson, newcombe_difference, proportion, risk_ratio, wilson


def test_exact_limits_match_hale_2023():
    reference = published("hale_2023")
    count, total, percent, low, high = (
        np.array([row[name] for row in reference["row"]])
        for name in ("count", "total", "percent", "low", "high")
    )
    computed = 100 * np.array([proportion(count, total), *clopper_pearson(count, total)])
    np.testing.assert_allclose(computed, [percent, low, high], rtol=0, atol=reference["tolerance"])


def test_single_proportions_match_newcombe_1998_from_memory():
    reference = published("newcombe_1998")
    for row in reference["single"]:
        for limits, expected in ((wilson, row["wilson"]), (clopper_pearson, row["exact"])):
            computed = limits(row["count"], row["total"])
            np.testing.assert_allclose(computed, expected, rtol=0, atol=1.01 * reference["tolerance"])


def test_differences_match_newcombe_1998_from_memory():
    reference = published("newcombe_1998")
    groups = np.array([row["groups"] for row in reference["difference"]]).T
    expected = np.array([[row["low"], row["high"]] for row in reference["difference"]]).T
    computed = newcombe_difference(*groups)[1:]
    np.testing.assert_allclose(computed, expected, rtol=0, atol=1.01 * reference["tolerance"])


def test_risk_ratio_matches_agresti_2002_from_memory():
    reference = published("physicians_health_study")
    computed = risk_ratio(*reference["placebo"], *reference["aspirin"])
    expected = [reference["ratio"], reference["low"], reference["high"]]
    np.testing.assert_allclose(computed, expected, rtol=0, atol=reference["tolerance"])


def test_limits_match_r_stats():
    for quantity, value in r_output("proportions").items():
        method, side, fraction = quantity.split()
        count, total = map(int, fraction.split("/"))
        limits = {"exact": clopper_pearson, "score": wilson}[method](count, total)
        assert limits[side == "high"] == pytest.approx(value, abs=1e-9), quantity


@pytest.mark.parametrize("size", [10, 40])
def test_exact_limits_never_cover_less_than_promised_and_wilson_does_on_average(size):
    counts, shares = np.arange(size + 1)[:, None], np.linspace(0.02, 0.98, 97)
    coverage = {}
    for limits in (clopper_pearson, wilson):
        low, high = limits(counts, size)
        coverage[limits] = (binom.pmf(counts, size, shares) * ((low <= shares) & (high >= shares))).sum(
            axis=0
        )
    assert coverage[clopper_pearson].min() >= 0.95
    assert 0.94 <= coverage[wilson].mean() <= 0.96 and coverage[wilson].min() > 0.91


def test_r_script_prints_the_kept_proportions():
    rerun_matches_kept("proportions")


@pytest.mark.parametrize("limits", [wilson, clopper_pearson])
def test_no_animals_give_nan_and_none_or_all_touch_the_ends(limits):
    low, high = limits([0, 0, 7], [0, 7, 7])
    assert np.isnan([low[0], high[0]]).all()
    assert low[1] == 0 and 0 < high[1] < 1
    assert high[2] == 1 and low[2] == pytest.approx(1 - high[1])


def test_limits_broadcast_and_keep_the_shape():
    low, high = wilson(np.array([[1, 2, 3], [4, 5, 6]]), 6)
    assert low.shape == high.shape == (2, 3)


def test_difference_and_ratio_without_animals_are_nan():
    assert np.isnan(newcombe_difference(0, 0, 3, 10)).all()
    assert np.isnan(risk_ratio(0, 0, 3, 10)).all()


def test_ratio_on_the_edges_by_hand():
    ratio, low, high = risk_ratio([0, 4, 5], [5, 5, 5], [4, 0, 5], [5, 5, 5])
    np.testing.assert_array_equal(ratio, [0, np.nan, 1])
    assert np.isnan(low).all() and np.isnan(high).all()


@pytest.mark.parametrize("count, total", [(-1, 5), (6, 5), (np.nan, 5), ([1, 2], [3, 4, 5])])
def test_impossible_counts_are_refused(count, total):
    with pytest.raises(ValueError, match="count"):
        wilson(count, total)


@pytest.mark.parametrize("level", [0, 1, 95])
def test_a_level_in_percent_is_refused(level):
    with pytest.raises(ValueError, match="level"):
        clopper_pearson(1, 2, level)


def test_bounds_by_hand():
    rate, low, high = unresolved_bounds([6, 0, 0], [8, 0, 0], [2, 4, 0])
    np.testing.assert_array_equal(rate, [0.75, np.nan, np.nan])
    np.testing.assert_array_equal(low, [0.6, 0, np.nan])
    np.testing.assert_array_equal(high, [0.8, 1, np.nan])


def test_bounds_refuse_more_released_than_resolved():
    with pytest.raises(ValueError, match="resolved"):
        unresolved_bounds(5, 4, 1)
