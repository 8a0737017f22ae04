from itertools import combinations

import numpy as np
import pytest
from unsnag.stats.sites.covering import keeps_rules, maximal_covering, siting_rules, weight_reached
from unsnag.stats.sites.covering_apart import best_apart, is_apart


def by_trying_all(weight, covers, rules, k):
    """The most that any set of at most k candidates reaches, None where none keeps the rules."""
    candidates = range(covers.shape[1])
    sets = [np.isin(candidates, one) for size in range(k + 1) for one in combinations(candidates, size)]
    reached = [
        weight_reached(weight, covers, one, np.zeros(len(weight), bool))
        for one in sets
        if keeps_rules(one, rules)
    ]
    return max(reached, default=None)


@pytest.mark.parametrize("seed", range(40))
def test_reaches_as_much_as_trying_all_sets(seed):
    rng = np.random.default_rng(seed)
    covers = np.repeat(np.eye(7, dtype=bool), rng.integers(1, 3, 7), axis=0)
    weight = rng.integers(0, 5, len(covers)).astype(float)
    council = rng.choice(["north", "south"], 7)
    minimum = {council[0]: int(rng.integers(1, 3))}
    rules = siting_rules(7, excluded=rng.random(7) < 0.3, council=council, minimum=minimum)
    assert is_apart(covers, rules)
    for k in (1, 2, 3):
        ours, most = best_apart(weight, covers, rules, k), by_trying_all(weight, covers, rules, k)
        assert (ours is None) == (most is None)
        if ours is not None:
            assert keeps_rules(ours, rules) and ours.sum() <= k
            assert weight_reached(weight, covers, ours, np.zeros(len(weight), bool)) == most


def test_places_that_two_candidates_reach_are_not_apart():
    both = np.array([[True, True], [False, True]])
    assert not is_apart(both, siting_rules(2))
    assert is_apart(both, siting_rules(2, excluded=[True, False]))


def test_candidates_that_may_not_stand_together_are_not_apart():
    alone = np.eye(3, dtype=bool)
    assert not is_apart(alone, siting_rules(3, apart=[(0, 1)]))
    assert is_apart(alone, siting_rules(3, apart=[(0, 1)], excluded=[True, False, False]))


def test_fewest_bins_and_earliest_candidates_among_equals_by_hand():
    found = maximal_covering([2.0, 2.0, 0.0], np.eye(3, dtype=bool), 3)
    assert found.chosen.tolist() == [[True, False, False], [True, True, False], [True, True, False]]
