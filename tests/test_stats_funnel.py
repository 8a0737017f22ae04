import numpy as np
import pytest
from unsnag.stats.funnel import funnel


def test_equal_clinics_by_hand():
    # Ten clinics, variance of the ratio 0.01: scores +-3 in four, 0 in six; the outermost is pulled in to 3.
    observed = 100 + 10 * np.array([3, -3, 3, -3, 0, 0, 0, 0, 0, 0])
    answer = funnel(observed, [100] * 10, [100] * 10)
    assert answer.dispersion == pytest.approx(36 / 10)
    # Weights 100 each: (36 - 9) / (1000 - 100).
    assert answer.between_sd == pytest.approx(np.sqrt(27 / 900))
    np.testing.assert_allclose(answer.high[0], 1 + 1.959964 * np.sqrt(0.01 + 0.03), rtol=1e-6)
    np.testing.assert_allclose(answer.low[1], 1 - 3.090232 * np.sqrt(0.01 + 0.03), rtol=1e-6)


def test_one_far_clinic_does_not_widen_the_limits():
    observed = np.full(10, 100.0)
    calm = funnel(observed, [100] * 10, [100] * 10)
    observed[3] = 900
    answer = funnel(observed, [100] * 10, [100] * 10)
    np.testing.assert_array_equal(answer.high, calm.high)
    assert answer.ratio[3] > answer.high[1, 3] and answer.between_sd == 0


def test_small_clinics_have_wide_limits_and_none_below_zero():
    size = np.arange(1, 13) * 2
    answer = funnel(size / 2, size / 2, size / 4)
    assert (np.diff(answer.high[0]) < 0).all()
    assert (answer.low >= 0).all()


def test_chance_alone_leaves_about_one_in_twenty_outside():
    random = np.random.default_rng(8)
    size = random.integers(30, 200, 2000)
    answer = funnel(random.binomial(size, 0.6), size * 0.6, size * 0.24)
    outside = (answer.ratio < answer.low[0]) | (answer.ratio > answer.high[0])
    assert outside.mean() == pytest.approx(0.05, abs=0.015)
    assert answer.dispersion < 1


def test_limits_allow_for_the_invented_variety_between_clinics():
    random = np.random.default_rng(9)
    size = np.full(3000, 400)
    rate = np.clip(random.normal(0.6, 0.06, 3000), 0, 1)
    answer = funnel(random.binomial(size, rate), size * 0.6, size * 0.24)
    # The true spread of the ratio is 0.1; winsorising takes some of it.
    assert 0.075 < answer.between_sd < 0.1


def test_fewer_than_ten_clinics_have_no_funnel():
    answer = funnel([5] * 10, [5.0] * 9 + [0], [2.0] * 9 + [0])
    assert answer.reason == "9 clinics with an expected variance; a funnel needs 10"
    assert np.isnan(answer.low).all() and answer.low.shape == (2, 10)
    assert np.isnan(answer.ratio[-1]) and answer.ratio[0] == 1


def test_lengths_that_differ_are_refused():
    with pytest.raises(ValueError, match="shape"):
        funnel([1, 2], [1, 2, 3], [1, 2, 3])
