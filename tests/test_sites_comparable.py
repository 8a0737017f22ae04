import numpy as np
import pytest
from unsnag.stats.sites.comparable import comparable_sites


def test_the_nearest_in_size_of_the_same_area_by_hand():
    # Bins of 10 and 40 rescues a year; 11 and 38 are nearest, 500 is too far, the last is of another area.
    other = [10, 40, 11, 38, 500, 10]
    area = ["north"] * 5 + ["south"]
    assert comparable_sites(other, area, [1, 1, 0, 0, 0, 0], most=1).tolist() == [0, 1, 0, 1, -1, -1]


def test_each_site_serves_one_bin_and_the_pairs_together_are_nearest():
    # Alone the first bin would take 12; then 20 were left for the second, which only 12 suits.
    stratum = comparable_sites([16, 8, 12, 20], np.zeros(4), [1, 1, 0, 0], most=1, times=2)
    assert stratum.tolist() == [0, 1, 1, 0]


def test_no_bin_has_more_than_asked_and_none_is_without_reason():
    rng = np.random.default_rng(1)
    is_bin, area = np.arange(60) < 6, rng.integers(0, 2, 60)
    stratum = comparable_sites(rng.gamma(4, 5, 60), area, is_bin, most=4, times=10)
    assert stratum[:6].tolist() == list(range(6))
    assert np.bincount(stratum[6:][stratum[6:] >= 0]).tolist() == [4] * 6
    assert all(area[site] == area[stratum[site]] for site in range(60) if stratum[site] >= 0)


def test_without_bins_or_without_others_nobody_is_compared():
    assert comparable_sites([5, 6], [0, 0], [0, 0]).tolist() == [-1, -1]
    assert comparable_sites([5, 6], [0, 0], [1, 1]).tolist() == [0, 1]


@pytest.mark.parametrize("settings", [{"most": 0}, {"times": 1}])
def test_impossible_settings_are_refused(settings):
    with pytest.raises(ValueError, match="most"):
        comparable_sites([5, 6], [0, 0], [1, 0], **settings)
