import numpy as np
import pytest
from unsnag.stats.sites.bin_effect import bin_effect
from unsnag.stats.sites.bin_power import power_after, years_until_seen

TACKLE, OTHER, BIN = np.full(12, 6.0), np.full(12, 20.0), np.arange(12) < 4


def test_an_effect_of_nothing_is_seen_no_more_often_than_the_level_says():
    assert (power_after([1, 5, 50], 1.0, TACKLE, OTHER, BIN, 4) < 0.05).all()


def test_power_grows_with_years_and_size_of_effect():
    small, large = (power_after(np.arange(1, 20), ratio, TACKLE, OTHER, BIN, 4) for ratio in (0.7, 0.4))
    assert (np.diff(small) > 0).all()
    assert (large > small).all()


def test_doubling_and_halving_are_about_as_easy_to_see():
    halved, doubled = (power_after([5], ratio, TACKLE, OTHER, BIN, 4)[0] for ratio in (0.5, 2.0))
    assert doubled > halved > 0.5


@pytest.mark.parametrize(("ratio", "years", "spread"), [(0.5, 2, 0.0), (0.4, 2, 0.4)])
def test_power_matches_simulation(ratio, years, spread):
    seen = []
    for seed in range(80):
        rng = np.random.default_rng(seed)
        change = np.where(BIN, ratio, 1) * np.exp(rng.normal(0, spread, BIN.size))
        means = (TACKLE * 3, OTHER * 3, TACKLE * years * change, OTHER * years)
        seen.append(bin_effect(*(rng.poisson(mean) for mean in means), BIN).p_value < 0.05)
    power = power_after([years], ratio, TACKLE, OTHER, BIN, 3, between_sites_variance=spread**2)[0]
    # 80 networks: two standard errors are 0.11.
    assert power == pytest.approx(np.mean(seen), abs=0.13)


def test_years_until_seen_is_the_first_with_enough_power():
    years = years_until_seen(0.5, TACKLE, OTHER, BIN, 4)
    before, then = power_after([years - 0.25, years], 0.5, TACKLE, OTHER, BIN, 4)
    assert before < 0.8 <= then


def test_sites_that_change_apart_may_never_show_it():
    assert years_until_seen(0.8, TACKLE, OTHER, BIN, 4, between_sites_variance=1.0) == np.inf


def test_too_few_sites_can_show_nothing():
    assert power_after([10], 0.1, TACKLE[:4], OTHER[:4], BIN[[0, 4, 5, 6]], 4)[0] == 0
    assert power_after([10], 0.1, TACKLE, OTHER, BIN & False, 4)[0] == 0


def test_sites_without_rescues_add_nothing():
    more = [
        np.append(part, extra) for part, extra in ((TACKLE, [0, 3]), (OTHER, [9, 0]), (BIN, [True, False]))
    ]
    there, here = power_after([3], 0.5, *more, 4)[0], power_after([3], 0.5, TACKLE, OTHER, BIN, 4)[0]
    assert there == pytest.approx(here, abs=0.03)


def test_no_years_after_show_nothing():
    assert power_after([0], 0.5, TACKLE, OTHER, BIN, 4)[0] == 0


@pytest.mark.parametrize(("ratio", "before_years"), [(0, 4), (-1, 4), (0.5, 0)])
def test_impossible_settings_are_refused(ratio, before_years):
    with pytest.raises(ValueError, match="above 0"):
        power_after([1], ratio, TACKLE, OTHER, BIN, before_years)
