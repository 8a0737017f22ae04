import numpy as np
import pytest
from scipy.special import expit, logit
from scipy.stats import t
from stats_references import r_data, r_output, rerun_matches_kept
from unsnag.stats.clustering import clustered_difference, clustered_rate, clustered_standardised_rate


def lung():
    """Deaths and patients, (sex, hospital), men first; some hospitals have patients of one sex only."""
    data = r_data("lung")
    known = ~np.isnan(data["inst"])
    cell = (data["sex"][known] - 1).astype(int), np.unique(data["inst"][known], return_inverse=True)[1]
    died, total = np.zeros((2, 18)), np.zeros((2, 18))
    np.add.at(died, cell, data["status"][known] == 2)
    np.add.at(total, cell, 1)
    return died, total


@pytest.mark.parametrize("quantity", ["rate", "difference", "standardised"])
def test_variance_and_degrees_of_freedom_match_r_clubsandwich(quantity):
    died, total = lung()
    answer = {
        "rate": lambda: clustered_rate(died.sum(axis=0), total.sum(axis=0)),
        "difference": lambda: clustered_difference(died[1], total[1], died[0], total[0]),
        "standardised": lambda: clustered_standardised_rate(died, total, [1, 1]),
    }[quantity]()
    kept = [r_output("pooling")[f"{quantity} {figure}"] for figure in ("estimate", "se", "df")]
    computed = [answer.estimate, np.sqrt(answer.variance), answer.degrees_of_freedom]
    np.testing.assert_allclose(computed, kept, rtol=1e-8)
    assert answer.reason == ""


def test_r_script_prints_the_kept_pooling():
    rerun_matches_kept("pooling", "clubSandwich")


def test_clinics_of_one_size_by_hand():
    # Rates 0.2, 0.4, 0.6 of ten each: variance of their mean, t on two degrees of freedom, logit scale.
    answer = clustered_rate([2, 4, 6], [10, 10, 10])
    assert answer.variance == pytest.approx(0.04 / 3)
    assert answer.degrees_of_freedom == pytest.approx(2)
    spread = t.isf(0.025, 2) * np.sqrt(0.04 / 3) / 0.24
    assert [answer.low, answer.high] == pytest.approx(
        [expit(logit(0.4) - spread), expit(logit(0.4) + spread)]
    )


def test_unequal_clinics_have_fewer_degrees_of_freedom():
    equal, unequal = clustered_rate(
        [[2, 4, 6, 3], [1, 40, 6, 3]], [[10] * 4, [5, 90, 10, 10]]
    ).degrees_of_freedom
    assert equal == pytest.approx(3) and unequal < 2


def test_difference_keeps_within_minus_one_and_one_and_cancels_the_clinics():
    same = clustered_difference([2, 9, 4], [10, 10, 10], [1, 8, 3], [10, 10, 10])
    alone = clustered_rate([2, 9, 4], [10, 10, 10])
    assert same.estimate == pytest.approx(0.1)
    # Every clinic differs by exactly 0.1, so there is no variance to go by.
    assert same.reason == "the clinics do not vary: use exact limits" and np.isnan(same.low)
    assert alone.high - alone.low > 0.5
    wide = clustered_difference([10, 1], [10, 10], [0, 1], [10, 10])
    assert (wide.low, wide.high) == (-1, 1)


@pytest.mark.parametrize(
    "count, total, reason",
    [
        ([3, 0], [10, 0], "one clinic"),
        ([0, 0], [0, 0], "no animals"),
        ([], [], "no animals"),
        ([5, 8], [5, 8], "do not vary"),
        ([0, 0], [5, 8], "do not vary"),
    ],
)
def test_what_clinics_cannot_tell_is_nan_with_a_reason(count, total, reason):
    answer = clustered_rate(count, total)
    assert reason in str(answer.reason)
    assert np.isnan([answer.low, answer.high, answer.variance]).all()


def test_a_standard_of_another_length_is_refused():
    with pytest.raises(ValueError, match="standard"):
        clustered_standardised_rate([[2, 3], [1, 1]], [[5, 5], [4, 4]], [1, 1, 1])


def test_a_stratum_of_the_standard_without_animals_is_named_as_the_reason():
    answer = clustered_standardised_rate([[2, 3], [0, 0]], [[5, 5], [0, 0]], [1, 1])
    assert answer.reason == "no animals in a group" and np.isnan(answer.low)
    used = clustered_standardised_rate([[2, 3], [0, 0]], [[5, 5], [0, 0]], [1, 0])
    assert used.reason == "" and used.estimate == pytest.approx(0.5)
