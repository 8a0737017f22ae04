from itertools import combinations

import numpy as np
import pytest
from unsnag.stats.sites.covering import maximal_covering, reach, siting_rules, too_close
from unsnag.stats.sites.stability import resample, stability

# Three places in a row, invented; the first site reaches the first, the others two neighbours each.
WEIGHT = np.array([5.0, 4.0, 3.0])
COVERS = np.array([[1, 1, 0], [0, 1, 1], [0, 0, 1]], dtype=bool)


def invented(seed):
    """An invented siting problem with every kind of rule."""
    rng = np.random.default_rng(seed)
    covers, council = rng.random((18, 7)) < 0.25, rng.integers(0, 3, 7)
    excluded, pairs = rng.random(7) < 0.15, np.argwhere(np.triu(rng.random((7, 7)) < 0.1, k=1))
    minimum = {int(council[0]): 1} if seed % 2 else {}
    return rng.gamma(1, 1, 18), covers, rng.random(18) < 0.2, excluded, pairs, council, minimum


def keeps(chosen, excluded, pairs, council, minimum):
    together = any(first in chosen and second in chosen for first, second in pairs)
    enough = all(sum(council[site] == name for site in chosen) >= least for name, least in minimum.items())
    return enough and not together and not any(excluded[list(chosen)])


def by_trying_all(weight, covers, standing, k, *rules):
    """The best set, fewest sites and earliest first among equals, and what it reaches; None if none is allowed."""
    best = None
    for size in range(k + 1):
        for chosen in combinations(range(covers.shape[1]), size):
            reached = weight[covers[:, list(chosen)].any(axis=1) | standing].sum()
            if keeps(chosen, *rules) and (best is None or reached > best[1] + 1e-9):
                best = chosen, reached
    return best


@pytest.mark.parametrize("seed", range(12))
def test_every_number_of_bins_matches_trying_all_sets(seed):
    weight, covers, standing, excluded, pairs, council, minimum = invented(seed)
    rules = siting_rules(7, excluded=excluded, apart=pairs, council=council, minimum=minimum)
    ours = maximal_covering(weight, covers, 4, standing=standing, rules=rules)
    for k, chosen, covered in zip(ours.bins, ours.chosen, ours.covered, strict=True):
        best = by_trying_all(weight, covers, standing, k, excluded, pairs, council, minimum)
        assert ours.is_feasible[k - 1] == (best is not None)
        if best is not None:
            assert tuple(np.flatnonzero(chosen)) == best[0]
            assert covered == pytest.approx(best[1], rel=1e-12)


def test_the_best_pair_need_not_hold_the_best_site_by_hand():
    ours = maximal_covering([3.0, 3.0, 2.0, 2.0], [[1, 0, 1], [0, 1, 1], [1, 0, 0], [0, 1, 0]], 2)
    assert ours.chosen.tolist() == [[False, False, True], [True, True, False]]
    assert ours.covered.tolist() == [6, 10]


def test_a_bin_that_reaches_nothing_new_is_not_taken():
    ours = maximal_covering(WEIGHT, COVERS, 3)
    assert ours.chosen.sum(axis=1).tolist() == [1, 2, 2]
    assert ours.covered.tolist() == [9, 12, 12]


def test_among_equals_the_earlier_candidate_is_taken():
    assert maximal_covering([1.0], [[1, 1, 1]], 2).chosen.tolist() == [[True, False, False]] * 2


def test_standing_bins_count_and_need_no_second():
    ours = maximal_covering(WEIGHT, COVERS, 1, standing=[True, True, False])
    assert (ours.standing, ours.total) == (9, 12)
    assert ours.chosen[0].tolist() == [False, False, True]


def test_tiny_weights_are_solved_as_exactly():
    weight, covers, standing, *_ = invented(2)
    large, tiny = (maximal_covering(weight * factor, covers, 3, standing=standing) for factor in (1, 1e-9))
    np.testing.assert_array_equal(large.chosen, tiny.chosen)


def test_rules_that_no_set_keeps_are_told():
    rules = siting_rules(3, council=["a", "a", "b"], minimum={"a": 1, "b": 1})
    ours = maximal_covering(WEIGHT, COVERS, 2, rules=rules)
    assert ours.is_feasible.tolist() == [False, True]
    assert np.isnan(ours.covered[0])
    assert not ours.chosen[0].any()


def test_no_harm_and_no_place_give_no_bin():
    assert not maximal_covering(np.zeros(3), COVERS, 2).chosen.any()
    assert maximal_covering([], np.zeros((0, 3)), 1).covered.tolist() == [0]


def test_no_candidate_is_refused():
    with pytest.raises(ValueError, match="0 candidates"):
        maximal_covering([1.0], np.zeros((1, 0)), 1)


def test_reach_and_distance_between_bins_by_hand():
    # 0.001 degree of latitude is about 111 m.
    north = np.array([0.0, 0.001, 0.004])
    assert reach([0.0], [0.0], north, np.zeros(3), 150).tolist() == [[True, True, False]]
    pairs, excluded = too_close(north, np.zeros(3), [0.0045], [0.0])
    assert pairs.tolist() == [[0, 1]]
    assert excluded.tolist() == [False, False, True]
    assert too_close(north, np.zeros(3), [], [])[1].tolist() == [False] * 3


@pytest.mark.parametrize(
    ("settings", "message"),
    [
        ({"excluded": [True]}, "one entry for each"),
        ({"minimum": {"a": 1}}, "one entry for each"),
        ({"council": ["b", "b", "b"], "minimum": {"a": 1}}, "no candidate site"),
    ],
)
def test_rules_that_do_not_fit_are_refused(settings, message):
    with pytest.raises(ValueError, match=message):
        siting_rules(3, **settings)


@pytest.mark.parametrize(
    ("weight", "k", "message"), [(WEIGHT[:2], 1, "places"), (-WEIGHT, 1, "weight"), (WEIGHT, 0, "k_most")]
)
def test_problems_that_do_not_fit_are_refused(weight, k, message):
    with pytest.raises(ValueError, match=message):
        maximal_covering(weight, COVERS, k)


def test_a_negative_radius_is_refused():
    with pytest.raises(ValueError, match="radius"):
        reach([0], [0], [0], [0], -1)


def test_resamples_keep_the_total_and_the_expected_share():
    draws = resample([6, 3, 1, 0], 4000, seed=1)
    assert set(draws.sum(axis=1)) == {10}
    np.testing.assert_allclose(draws.mean(axis=0), [6, 3, 1, 0], atol=0.15)
    assert resample([0, 0], 3, seed=1).tolist() == [[0, 0]] * 3


def test_a_clear_site_is_stable_and_a_tossed_coin_is_not():
    covers = np.eye(3, dtype=bool)
    draws = resample([60, 20, 20], 60, seed=2)
    one, two = (stability(draws, covers, chosen) for chosen in ([1, 0, 0], [1, 1, 0]))
    assert one.chosen_again.tolist() == [1, 0, 0]
    assert one.lost == 0
    assert two.chosen_again[0] == 1
    assert 0.25 < two.chosen_again[1] < 0.75
    assert two.covered_low < two.covered_share < two.covered_high


def test_stability_by_hand():
    # The first draw's best is the first site, the second's the second: the first site reaches 3/4 and 1/4.
    ours = stability([[3.0, 1.0], [1.0, 3.0]], np.eye(2, dtype=bool), [True, False])
    assert ours.chosen_again.tolist() == [0.5, 0.5]
    assert ours.covered_share == pytest.approx(0.5)
    assert ours.lost == pytest.approx((0 + 2 / 3) / 2)


def test_a_set_that_breaks_a_rule_is_not_judged():
    rules = siting_rules(2, apart=[(0, 1)])
    with pytest.raises(ValueError, match="breaks a rule"):
        stability([[1.0, 1.0]], np.eye(2, dtype=bool), [True, True], rules=rules)


def test_stability_without_a_set_is_refused():
    with pytest.raises(ValueError, match="chosen set"):
        stability([[1.0]], [[True]], [False])
