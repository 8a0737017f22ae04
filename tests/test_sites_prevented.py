import numpy as np
import pytest
from unsnag.stats.sites.prevented import prevented_yearly

CASES = np.array([[4.0, 2.0], [6.0, 2.0], [5.0, 2.0]])
COVERS = np.array([[1, 0, 1], [0, 1, 1]], dtype=bool)


def test_an_assumed_effect_by_hand():
    # Half of 5, 2 and 7 yearly cases.
    ours = prevented_yearly(CASES, COVERS, np.log(0.5), 0.0, 10, seed=1)
    np.testing.assert_allclose(ours.within_reach, [5, 2, 7])
    np.testing.assert_allclose(ours.middle, [2.5, 1, 3.5])
    np.testing.assert_array_equal(ours.chance_of_any, 1)


def test_what_a_standing_bin_reaches_is_not_prevented_again():
    ours = prevented_yearly(CASES, COVERS, np.log(0.5), 0.0, 10, standing=[True, False], seed=1)
    np.testing.assert_allclose(ours.within_reach, [0, 2, 2])
    assert ours.middle[0] == ours.high[0] == 0


def test_an_uncertain_effect_widens_the_limits_by_its_own():
    cases = np.full((20_000, 1), 10.0)
    ours = prevented_yearly(cases, np.ones((1, 1)), np.log(0.6), 0.3, 8, seed=1)
    # Student's t on 8 degrees: 2.306 (printed tables).
    np.testing.assert_allclose(
        [ours.low[0], ours.high[0]], 10 * (1 - 0.6 * np.exp([2.306 * 0.3, -2.306 * 0.3])), atol=0.25
    )
    assert 0.9 < ours.chance_of_any[0] < 0.97


def test_an_effect_that_was_not_estimated_is_refused():
    with pytest.raises(ValueError, match="not estimated"):
        prevented_yearly(CASES, COVERS, np.nan, np.nan, 0, seed=1)


def test_places_that_differ_are_refused():
    with pytest.raises(ValueError, match="places differ"):
        prevented_yearly(CASES, COVERS[:1], 0.0, 0.0, 5, seed=1)
