import numpy as np
import pytest
from scipy.stats import betabinom
from stats_references import published, r_data, r_output
from unsnag.stats.shrinkage import beta_binomial_fit, shrink_rates


def test_prior_matches_geissler_1889_from_memory():
    reference = published("geissler_1889")
    boys = np.repeat(np.array(reference["boys"], dtype=float), reference["families"])
    fitted = beta_binomial_fit(boys, np.full(boys.shape, float(reference["children"])))
    np.testing.assert_allclose(fitted, [reference["a"], reference["b"]], rtol=0, atol=reference["tolerance"])
    likelihood = betabinom.logpmf(boys, reference["children"], *fitted).sum()
    assert likelihood == pytest.approx(reference["log_likelihood"], abs=0.05)
    assert likelihood >= betabinom.logpmf(boys, reference["children"], reference["a"], reference["b"]).sum()


def test_shrunken_rates_match_r_stats():
    freq = r_data("ucb_admissions")["Freq"].reshape(12, 2)
    answer, kept = shrink_rates(freq[:, 0], freq.sum(axis=1)), r_output("pooling")
    a, b = kept["beta a"], kept["beta b"]
    assert (answer.mean, answer.strength) == pytest.approx((a / (a + b), a + b), rel=1e-6)
    for figure, computed in (("shrunken", answer.shrunken), ("shrunken low", answer.low)):
        expected = [kept[f"{figure} {number}"] for number in range(1, 13)]
        np.testing.assert_allclose(computed, expected, rtol=1e-6)


def test_shrunken_rates_lie_between_raw_and_mean_and_small_groups_move_more():
    answer = shrink_rates([9, 90, 1, 10, 50, 30], [10, 100, 10, 100, 100, 50])
    within = np.sort([answer.raw, np.full(6, answer.mean)], axis=0)
    assert ((within[0] <= answer.shrunken) & (answer.shrunken <= within[1])).all()
    moved = np.abs(answer.shrunken - answer.raw)
    assert moved[0] > moved[1] and moved[2] > moved[3]
    assert ((answer.low < answer.shrunken) & (answer.shrunken < answer.high)).all()


def test_prior_recovers_the_invented_truth():
    random = np.random.default_rng(5)
    truth = random.beta(6, 4, 2000)
    answer = shrink_rates(random.binomial(25, truth), np.full(2000, 25))
    assert answer.mean == pytest.approx(0.6, abs=0.015)
    assert answer.between_sd == pytest.approx(np.sqrt(0.6 * 0.4 / 11), abs=0.01)
    assert np.mean((answer.low <= truth) & (truth <= answer.high)) == pytest.approx(0.95, abs=0.015)


def test_groups_alike_are_not_collapsed_in_silence():
    answer = shrink_rates([5, 5, 5, 5, 5, 5], [10] * 6)
    assert answer.reason.startswith("the groups differ no more than chance")
    assert np.isnan(answer.shrunken).all() and answer.between_sd == 0 and answer.mean == 0.5


@pytest.mark.parametrize("count, total", [([0] * 6, [9] * 6), ([9] * 6, [9] * 6)])
def test_none_or_all_is_the_boundary_too(count, total):
    answer = shrink_rates(count, total)
    assert answer.reason and answer.mean == count[0] / 9


@pytest.mark.parametrize(
    "count, total", [([], []), ([1, 5, 9, 2], [10] * 4), ([1, 5, 9, 2, 0], [10, 10, 10, 10, 0])]
)
def test_fewer_than_five_groups_say_so(count, total):
    answer = shrink_rates(count, total)
    assert "shrinkage needs 5" in answer.reason
    assert np.isnan(answer.shrunken).all() and np.isnan(answer.between_sd)


def test_a_group_without_animals_gets_the_mean_of_the_others():
    answer = shrink_rates([1, 5, 9, 2, 8, 0], [10, 10, 10, 10, 10, 0])
    assert answer.shrunken[-1] == pytest.approx(answer.mean)
    assert np.isnan(answer.raw[-1])
