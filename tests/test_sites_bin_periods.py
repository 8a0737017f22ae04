import numpy as np
import pytest
from unsnag.stats.sites.bin_effect import ESTIMATED
from unsnag.stats.sites.bin_periods import (
    before_and_after,
    periods_effect,
    placebo_effects,
    regression_to_the_mean,
)

YEARS, SITES = 9, 15


def invented_years(seed, ratio=1.0):
    """Invented rescues of nine years at fifteen sites; the site with most tackle cases in year six gets a bin.

    The bin comes with year seven and multiplies the tackle rate by the ratio.
    """
    rng = np.random.default_rng(seed)
    tackle = rng.poisson(6, (YEARS, SITES))
    worst = np.arange(SITES) == tackle[5].argmax()
    tackle[6:, worst] = rng.poisson(6 * ratio, (3, 1))
    counts = np.stack([rng.poisson(20, (YEARS, SITES)), tackle])
    is_tackle, year, site = (np.repeat(axis.ravel(), counts.ravel()) for axis in np.indices(counts.shape))
    return (site, year * 365, is_tackle == 1), worst


def periods_of(rescues, decided_day=None):
    return before_and_after(*rescues, np.zeros(SITES, int), [0], [6 * 365], [YEARS * 365 - 1], decided_day)


def test_days_fall_into_their_periods_by_hand():
    # Record from day 0, deciding from 100, bin on 200, record ends on 299. Days at and beside every border.
    day = np.array([-1, 0, 99, 100, 199, 200, 299, 300])
    is_tackle = np.array([1, 1, 0, 1, 0, 0, 1, 1], dtype=bool)
    periods = before_and_after(np.zeros(8, int), day, is_tackle, [0], [0], [200], [299], [100])
    assert periods.tackle[:, 0].tolist() == [1, 1, 1]
    assert periods.other[:, 0].tolist() == [1, 1, 1]
    np.testing.assert_allclose(periods.years[:, 0] * 365.25, [100, 100, 100])


def test_an_unknown_deciding_period_is_the_year_before_the_bin():
    periods = before_and_after([0, 0, 0], [34, 35, 399], [1, 1, 1], [0], [0], [400], [500])
    assert periods.tackle[:, 0].tolist() == [1, 2, 0]


def test_a_record_shorter_than_the_deciding_year_has_no_before():
    periods = before_and_after([0, 0], [150, 250], [1, 1], [0], [100], [200], [300])
    assert periods.tackle[:, 0].tolist() == [0, 1, 1]
    assert periods.years[0, 0] == 0


def test_comparison_sites_count_on_the_days_of_their_own_stratum():
    # Day 150 is after the first stratum's bin and before the second's deciding.
    periods = before_and_after([0, 1], [150, 150], [1, 1], [0, 1], [0, 0], [100, 400], [500, 500], [50, 300])
    assert periods.tackle[2].tolist() == [1, 0]
    assert periods.tackle[0].tolist() == [0, 1]


@pytest.mark.parametrize(
    ("settings", "message"),
    [(([0], [0], [10], [500], [20]), "follow one another"), (([1], [0], [100], [500], [50]), "strata")],
)
def test_days_out_of_order_and_unknown_strata_are_refused(settings, message):
    with pytest.raises(ValueError, match=message):
        before_and_after([0], [5], [True], *settings)


def test_a_rescue_at_an_unknown_site_is_refused():
    with pytest.raises(ValueError, match="1 sites"):
        before_and_after([1], [5], [True], [0], [0], [100], [500], [50])


def test_a_bin_placed_after_a_chance_peak_is_not_credited():
    ratios, seen, naive = [], [], []
    for seed in range(60):
        rescues, worst = invented_years(seed)
        effect = periods_effect(periods_of(rescues), worst)
        ratios.append(effect.ratio)
        seen.append(effect.p_value < 0.05)
        naive.append(regression_to_the_mean(periods_of(rescues), worst).naive_ratio)
    assert np.mean(naive) < 0.65
    assert 0.85 < np.median(ratios) < 1.15
    assert np.mean(seen) <= 0.1


def test_the_deciding_year_counted_as_before_would_credit_the_bin():
    effects = []
    for seed in range(60):
        rescues, worst = invented_years(seed)
        # Two years before only, one of them the peak.
        late = before_and_after(
            *rescues, np.zeros(SITES, int), [4 * 365], [6 * 365], [YEARS * 365 - 1], [6 * 365]
        )
        effects.append(periods_effect(late, worst).ratio)
    assert np.median(effects) < 0.8


def test_regression_to_the_mean_recovers_the_invented_truth():
    rescues, worst = invented_years(3)
    shown = regression_to_the_mean(periods_of(rescues), worst)
    assert shown.expected == pytest.approx(6, rel=0.3)
    assert shown.chance_ratio < 0.8
    assert shown.chance_share > 0.5


def test_regression_to_the_mean_by_hand():
    # One site of five had 1 a year, then 4 while deciding, then 2; the others always 1. Before, all are alike.
    rescues = [(0, 0), (0, 400), (0, 400), (0, 400), (0, 400), (0, 800), (0, 800)]
    rescues += [(site, day) for site in range(1, 5) for day in (0, 400, 800)]
    site, day = np.array(rescues).T
    periods = before_and_after(
        site, day, np.ones(day.size, bool), np.zeros(5, int), [0], [730], [1094], [365]
    )
    shown = regression_to_the_mean(periods, np.arange(5) == 0)
    np.testing.assert_allclose(shown.yearly, np.array([1, 4, 2]) * 365.25 / 365)
    assert (shown.naive_ratio, shown.chance_ratio) == (0.5, pytest.approx(0.25))
    assert shown.chance_share == 1


def test_pretended_bins_find_nothing_where_there_was_none():
    seen = []
    for seed in range(15):
        rescues, worst = invented_years(seed, ratio=0.2)
        effects = placebo_effects(
            rescues, np.zeros(SITES, int), worst, [0], [5 * 365], [365, 2 * 365, 3 * 365]
        )
        assert [effect.says for effect in effects] == [ESTIMATED] * 3
        seen += [effect.p_value < 0.05 for effect in effects]
    assert np.mean(seen) <= 0.12


def test_a_bin_pretended_before_the_record_is_refused():
    rescues, worst = invented_years(1)
    with pytest.raises(ValueError, match="follow one another"):
        placebo_effects(rescues, np.zeros(SITES, int), worst, [0], [5 * 365], [5 * 365])


def test_regression_to_the_mean_needs_a_bin():
    rescues, worst = invented_years(1)
    with pytest.raises(ValueError, match="no site has a bin"):
        regression_to_the_mean(periods_of(rescues), worst & False)
