import numpy as np
import pytest
from scipy.stats import nchypergeom_fisher
from stats_references import r_data, r_output, rerun_matches_kept
from unsnag.stats.sites.bin_effect import ESTIMATED, TOO_FEW, bin_effect
from unsnag.stats.sites.conditional import common_change, moments, tables

COUNTS = ("before_tackle", "before_other", "after_tackle", "after_other")
# Invented: the first of eight sites got a bin.
BEFORE_TACKLE, AFTER_TACKLE = np.array([9, 5, 4, 7, 6, 3, 8, 5]), np.array([3, 6, 4, 6, 7, 2, 9, 4])
OTHER, BIN = np.full(8, 20), np.arange(8) == 0


def invented(seed, ratio, bins=4, comparisons=10, spread=0.0):
    """Counts of an invented network: own level and own effort of each site, one planted ratio at the bins."""
    rng = np.random.default_rng(seed)
    is_bin = np.arange(bins + comparisons) < bins
    level, effort = rng.gamma(4, 1 / 4, is_bin.size), rng.gamma(10, 1 / 10, is_bin.size)
    change = 0.9 * np.exp(rng.normal(0, spread, is_bin.size)) * np.where(is_bin, ratio, 1)
    means = 10 * level, np.full(is_bin.size, 30), 10 * level * effort * change, 30 * effort
    return *(rng.poisson(mean) for mean in means), is_bin


@pytest.mark.parametrize("name", ["one", "two"])
def test_log_ratio_and_error_match_r_survival(name):
    data, kept = r_data("sites_bin_tables"), r_output("sites_bin_effect")
    rows = data["set"] == name
    effect = bin_effect(*(data[count][rows] for count in COUNTS), data["is_bin"][rows], data["stratum"][rows])
    assert effect.between_sites_variance == 0
    assert effect.log_ratio == pytest.approx(kept[f"{name} log_ratio"], abs=1e-6)
    assert effect.standard_error == pytest.approx(kept[f"{name} standard_error"], abs=1e-6)


def test_the_r_script_still_prints_what_is_kept():
    rerun_matches_kept("sites_bin_effect", "survival")


def test_moments_match_scipy():
    rng = np.random.default_rng(1)
    counts = rng.integers(0, 25, (4, 50)).astype(float)
    log_odds_ratio = rng.normal(0, 1.5, 50)
    tackle, total = counts[0] + counts[2], counts.sum(axis=0)
    after = counts[2] + counts[3]
    theirs = nchypergeom_fisher.stats(total, tackle, after, np.exp(log_odds_ratio), moments="mv")
    np.testing.assert_allclose(moments(tables(*counts), log_odds_ratio), theirs, rtol=1e-8, atol=1e-8)


def test_common_change_of_one_pair_by_hand():
    # Two animals before, two after, two of the four with tackle, one each: 1, 4 and 1 ways. Symmetric: no change.
    one = tables(*(np.array([1.0]) for _ in range(4)))
    np.testing.assert_allclose(np.exp(one.log_ways[0] - one.log_ways[0, 0]), [1, 4, 1])
    assert common_change(one, np.array([0]), np.zeros(1))[0] == pytest.approx(0, abs=1e-12)


def test_equal_sites_have_a_ratio_of_one():
    effect = bin_effect(np.full(8, 5), OTHER, np.full(8, 3), OTHER, BIN)
    assert effect.ratio == pytest.approx(1)
    assert effect.p_value == pytest.approx(1)
    assert effect.low * effect.high == pytest.approx(1, rel=0.2)


def test_exchanging_before_and_after_inverts_ratio_and_limits():
    there = bin_effect(BEFORE_TACKLE, OTHER, AFTER_TACKLE, OTHER, BIN)
    back = bin_effect(AFTER_TACKLE, OTHER, BEFORE_TACKLE, OTHER, BIN)
    np.testing.assert_allclose(
        [back.ratio, back.low, back.high], [1 / there.ratio, 1 / there.high, 1 / there.low]
    )
    assert back.p_value == pytest.approx(there.p_value)


def test_the_p_value_is_five_hundredths_where_a_limit_is_one():
    levels = np.linspace(0.5, 0.99, 99)
    excluded = [
        bin_effect(BEFORE_TACKLE, OTHER, AFTER_TACKLE, OTHER, BIN, level=level).high < 1 for level in levels
    ]
    p_value = bin_effect(BEFORE_TACKLE, OTHER, AFTER_TACKLE, OTHER, BIN).p_value
    assert 1 - levels[np.sum(excluded)] <= p_value <= 1 - levels[np.sum(excluded) - 1]


def test_a_bin_without_a_later_case_has_an_upper_limit():
    after = AFTER_TACKLE.copy()
    after[0] = 0
    effect = bin_effect(BEFORE_TACKLE, OTHER, after, OTHER, BIN)
    assert (effect.ratio, effect.low, effect.log_ratio) == (0, 0, -np.inf)
    assert 0 < effect.high < 1


@pytest.mark.parametrize(("sites", "is_bin"), [(4, [1, 0, 0, 0]), (8, np.zeros(8)), (8, np.ones(8)), (0, [])])
def test_too_few_sites_are_said_and_not_estimated(sites, is_bin):
    effect = bin_effect(BEFORE_TACKLE[:sites], OTHER[:sites], AFTER_TACKLE[:sites], OTHER[:sites], is_bin)
    assert effect.says == TOO_FEW
    assert np.isnan([effect.ratio, effect.low, effect.high, effect.p_value]).all()


def test_strata_that_compare_nothing_are_named_and_change_nothing():
    more = [np.append(count, extra) for count, extra in
            ((BEFORE_TACKLE, [5, 0]), (OTHER, [9, 9]), (AFTER_TACKLE, [2, 0]), (OTHER, [9, 9]))]  # fmt: skip
    stratum = np.array(["north"] * 8 + ["south"] * 2)
    effect = bin_effect(*more, np.append(BIN, [True, False]), stratum)
    assert effect.unused_strata == ("south",)
    assert effect[:7] == bin_effect(BEFORE_TACKLE, OTHER, AFTER_TACKLE, OTHER, BIN)[:7]


def test_each_stratum_has_its_own_change():
    # Tackle cases double in one stratum and halve in the other; within each, bin and comparison sites agree.
    before, after = np.repeat([4, 8], 5), np.repeat([8, 4], 5)
    is_bin, stratum = np.tile([1, 0, 0, 0, 0], 2), np.repeat([0, 1], 5)
    effect = bin_effect(before, np.full(10, 30), after, np.full(10, 30), is_bin, stratum)
    assert effect.ratio == pytest.approx(1)
    assert effect.between_sites_variance == 0


@pytest.mark.parametrize("ratio", [0.5, 1.0])
def test_limits_recover_the_invented_truth(ratio):
    effects = [bin_effect(*invented(seed, ratio, spread=0.2)) for seed in range(80)]
    assert all(effect.says == ESTIMATED for effect in effects)
    assert np.mean([effect.low <= ratio <= effect.high for effect in effects]) > 0.9
    assert np.median([effect.ratio for effect in effects]) == pytest.approx(ratio, rel=0.2)


def test_sites_that_change_apart_widen_the_limits():
    alike = [bin_effect(*invented(seed, 1.0)) for seed in range(20)]
    apart = [bin_effect(*invented(seed, 1.0, spread=1.0)) for seed in range(20)]
    assert np.mean([effect.between_sites_variance for effect in alike]) < 0.2
    assert np.mean([effect.between_sites_variance for effect in apart]) > 0.5
    assert np.mean([np.log(effect.high / effect.low) for effect in apart]) > 1.5


def test_unequal_lengths_and_negative_counts_are_refused():
    with pytest.raises(ValueError, match="lengths differ"):
        bin_effect(BEFORE_TACKLE, OTHER, AFTER_TACKLE, OTHER, BIN[:5])
    with pytest.raises(ValueError, match="after_tackle"):
        bin_effect(BEFORE_TACKLE, OTHER, -AFTER_TACKLE, OTHER, BIN)
