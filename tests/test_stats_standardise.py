import numpy as np
import pytest
from stats_references import r_data, r_output
from unsnag.stats.standardise import direct_rate, expected_count, indirect_ratio, mantel_haenszel


def admissions():
    """Admitted and all applicants, (gender, department), men first."""
    freq = r_data("ucb_admissions")["Freq"].reshape(6, 2, 2).transpose(1, 2, 0)
    return freq[:, 0], freq.sum(axis=1)


def test_direct_rates_match_r_stats():
    (count, total), kept = admissions(), r_output("pooling")
    rate, low, high, covered = direct_rate(count, total, total.sum(axis=0))
    expected = [
        [kept[f"direct {who} {figure}"] for who in ("Male", "Female")] for figure in ("rate", "low", "high")
    ]
    np.testing.assert_allclose([rate, low, high], expected, rtol=1e-8)
    np.testing.assert_allclose(covered, [1, 1])


def test_indirect_ratios_match_r_stats():
    (count, total), kept = admissions(), r_output("pooling")
    computed = indirect_ratio(count.sum(axis=1), total, count.sum(axis=0) / total.sum(axis=0))
    figures = ("ratio", "low", "high")
    expected = [[kept[f"indirect {who} {figure}"] for who in ("Male", "Female")] for figure in figures]
    np.testing.assert_allclose(computed, expected, rtol=1e-8)


def test_common_odds_ratio_matches_r_stats():
    (count, total), kept = admissions(), r_output("pooling")
    answer = mantel_haenszel(count[0], total[0], count[1], total[1])
    computed = [answer.odds_ratio, answer.low, answer.high, answer.statistic, answer.p_value]
    expected = [kept[f"mantel {figure}"] for figure in ("odds", "low", "high", "statistic", "p")]
    np.testing.assert_allclose(computed, expected, rtol=1e-8)
    assert answer.strata == 6 and answer.reason == ""


def test_simpson_is_undone_by_departments():
    # Bickel et al. (1975): men look favoured, and within departments they are not.
    count, total = admissions()
    crude = count.sum(axis=1) / total.sum(axis=1)
    rate, *_ = direct_rate(count, total, total.sum(axis=0))
    assert crude[0] - crude[1] > 0.1 and rate[0] < rate[1]
    assert mantel_haenszel(count[0], total[0], count[1], total[1]).odds_ratio < 1


def test_direct_rate_by_hand():
    rate, low, high, _ = direct_rate([5, 5], [10, 50], [30, 10])
    assert rate == pytest.approx(0.75 * 0.5 + 0.25 * 0.1)
    assert 0 < low < rate < high < 1


def test_an_empty_stratum_of_the_standard_gives_nan_and_the_share_covered():
    rate, low, high, covered = direct_rate([[5, 0], [5, 2]], [[10, 0], [10, 5]], [30, 10])
    assert np.isnan([rate[0], low[0], high[0]]).all() and covered[0] == 0.75
    assert not np.isnan([rate[1], low[1], high[1]]).any() and covered[1] == 1


def test_a_group_with_the_standard_case_mix_keeps_its_rate():
    rate, *_ = direct_rate([3, 8], [10, 20], [10, 20])
    assert rate == pytest.approx(11 / 30)


def test_expected_count_by_hand():
    expected, variance = expected_count([[10, 20], [0, 0], [5, 0]], [0.5, 0.1])
    np.testing.assert_allclose(expected, [7, 0, 2.5])
    np.testing.assert_allclose(variance, [2.5 + 1.8, 0, 1.25])


def test_a_stratum_without_animals_needs_no_reference_rate():
    expected, variance = expected_count([[10, 0], [10, 3]], [0.5, np.nan])
    np.testing.assert_array_equal([expected, variance], [[5, np.nan], [2.5, np.nan]])


def test_no_animals_have_no_ratio():
    assert np.isnan(indirect_ratio(0, [0, 0], [0.5, 0.5])).all()


@pytest.mark.parametrize(
    "tables, reason",
    [
        (([0, 0], [5, 0], [0, 0], [5, 0]), "no stratum"),
        (([], [], [], []), "no stratum"),
        (([5], [5], [0], [5]), "0 or infinite"),
    ],
)
def test_strata_that_cannot_tell_give_a_reason(tables, reason):
    answer = mantel_haenszel(*tables)
    assert reason in answer.reason
    assert np.isnan([answer.odds_ratio, answer.low, answer.p_value]).all()


@pytest.mark.parametrize("standard", [[0, 0], [-1, 2], [1]])
def test_an_impossible_standard_is_refused(standard):
    with pytest.raises(ValueError, match="standard"):
        direct_rate([1, 1], [2, 2], standard)


def test_an_impossible_reference_rate_is_refused():
    with pytest.raises(ValueError, match="reference_rate"):
        expected_count([1, 1], [0.5, 50])
