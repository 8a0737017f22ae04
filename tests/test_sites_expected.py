import numpy as np
import pytest
from scipy.stats import chi2
from stats_references import r_data, r_output, rerun_matches_kept
from unsnag.stats.sites.expected import NO_VARIATION, SHRUNKEN, TOO_FEW, expected_yearly


def expected(cases, years, **settings):
    return expected_yearly(cases, years, seed=1, **settings)


@pytest.mark.parametrize(("period", "year"), [("1974-78", "74"), ("1979-84", "79")])
def test_north_carolina_rates_match_r_spdep(period, year):
    counties = r_data("sites_nc_sids")
    ours = expected(counties[f"deaths_{year}"], counties[f"births_{year}"], draws=10)
    kept = r_output("sites_shrinkage")
    np.testing.assert_allclose(ours.shrunken, [kept[f"{period} {row}"] for row in range(1, 101)], rtol=1e-9)
    assert ours.mean == pytest.approx(kept[f"{period} mean"], rel=1e-9)
    assert ours.between_variance == pytest.approx(kept[f"{period} variance"], rel=1e-9)
    assert ours.says == SHRUNKEN


def test_sites_that_differ_by_chance_alone_match_r_spdep_and_say_so():
    ours = expected([3, 4, 3, 4, 3, 4], [3, 4, 3, 4, 3, 4])
    kept = r_output("sites_shrinkage")
    np.testing.assert_allclose(ours.shrunken, [kept[f"alike {row}"] for row in range(1, 7)], rtol=1e-12)
    assert (ours.between_variance, ours.says) == (0, NO_VARIATION)
    np.testing.assert_array_equal(ours.own_weight, 0)


def test_the_r_script_still_prints_what_is_kept():
    rerun_matches_kept("sites_shrinkage", "spdep")


def test_shrinkage_by_hand():
    # Mean 6/6 = 1. Spread (3 x 1 + 3 x 1)/6 = 1... of rates 0 0 0 2 2 2; less 1/1 for chance leaves 0.
    assert expected([0, 0, 0, 2, 2, 2], np.ones(6)).between_variance == 0
    # Rates 0 0 0 4 4 4: mean 2, spread 4, variance 4 - 2 = 2, own weight 2/(2 + 2).
    ours = expected([0, 0, 0, 4, 4, 4], np.ones(6))
    assert (ours.mean, ours.between_variance) == (2, 2)
    np.testing.assert_allclose(ours.own_weight, 0.5)
    np.testing.assert_allclose(ours.shrunken, [1, 1, 1, 3, 3, 3])


def test_fewer_than_five_sites_keep_their_own_rates_with_exact_limits_and_say_so():
    ours = expected([0, 10, 3, 1], [2, 5, 1, 1])
    np.testing.assert_array_equal(ours.shrunken, [0, 2, 3, 1])
    assert ours.says == TOO_FEW
    # Garwood's limits by the chi-squared distribution, over five years.
    assert ours.low[1] == pytest.approx(chi2.ppf(0.025, 20) / 2 / 5)
    assert ours.high[1] == pytest.approx(chi2.ppf(0.975, 22) / 2 / 5)
    assert (ours.low[0], ours.high[0]) == (0, pytest.approx(-np.log(0.025) / 2))


def test_limits_hold_the_rate_and_widen_with_the_level():
    cases = np.random.default_rng(2).poisson([0, 1, 1, 2, 5, 9, 12, 3])
    narrow, wide = (expected(cases, np.full(8, 3.0), level=level) for level in (0.8, 0.95))
    for ours in (narrow, wide):
        assert ((ours.low <= ours.shrunken) & (ours.shrunken <= ours.high)).all()
    assert (wide.high > narrow.high).all()


def test_limits_and_draws_recover_the_invented_truth():
    held = []
    for seed in range(60):
        rng = np.random.default_rng(seed)
        truth, years = rng.gamma(1.5, 2 / 1.5, 30), rng.integers(2, 7, 30)
        ours = expected_yearly(rng.poisson(truth * years), years, seed=seed, draws=1000)
        held.append((ours.low <= truth) & (truth <= ours.high))
    # 1,800 intervals, 30 a network: three standard errors of a mean near 0.94 are under 0.03.
    assert 0.91 < np.mean(held) < 0.97


def test_shrunken_rates_miss_the_invented_truth_by_less_than_raw_ones():
    rng = np.random.default_rng(3)
    truth = rng.gamma(2, 1, 300)
    ours = expected(rng.poisson(truth), np.ones(300), draws=10)
    assert np.mean((ours.shrunken - truth) ** 2) < 0.8 * np.mean((ours.raw - truth) ** 2)


def test_no_case_anywhere_is_not_certainty():
    ours = expected(np.zeros(6), np.full(6, 2.0))
    np.testing.assert_array_equal(ours.shrunken, 0)
    np.testing.assert_array_equal(ours.low, 0)
    assert (ours.high > 0).all()


def test_the_same_seed_gives_the_same_limits():
    first, again, other = (expected_yearly([1, 2, 0, 5, 3], np.ones(5), seed=seed) for seed in (1, 1, 2))
    np.testing.assert_array_equal(first.draws, again.draws)
    assert (first.draws != other.draws).any()


def test_a_site_without_years_is_refused():
    with pytest.raises(ValueError, match="1 sites have no years"):
        expected([1, 1], [1, 0])
