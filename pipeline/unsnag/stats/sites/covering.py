"""Where k more bins would reach most harm: the maximal covering location problem, solved exactly.

The best two places are not the best one and another: every number of bins is solved anew.
"""

from typing import NamedTuple

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import block_array, csr_array, eye_array

from unsnag.stats.arguments import as_counts
from unsnag.stats.sites.covering_apart import best_apart, is_apart
from unsnag.stats.sites.distance import distance_matrix_m

# Of scipy's milp.
SOLVED, INFEASIBLE = 0, 2


class Covering(NamedTuple):
    """The best sets of at most 1, 2, … new bins out of s candidates."""

    bins: np.ndarray  # int (k,), 1, 2, …
    chosen: np.ndarray  # bool (k, s), the candidates to take
    covered: np.ndarray  # float (k,), weight reached, the standing bins' included; nan where infeasible
    is_feasible: np.ndarray  # bool (k,), False where so few bins cannot keep the rules
    standing: float  # weight that the standing bins reach already
    total: float  # weight in all


class Rules(NamedTuple):
    """What a set of candidates must keep: ``lowest <= rows @ taken <= highest``."""

    is_allowed: np.ndarray  # bool (s,)
    rows: np.ndarray  # float (r, s)
    lowest: np.ndarray  # float (r,)
    highest: np.ndarray  # float (r,)


def reach(latitude, longitude, to_latitude, to_longitude, radius_m):
    """Which places each site reaches.

    latitude, longitude       : float arrays (d,), decimal degrees, places with demand
    to_latitude, to_longitude : float arrays (s,), decimal degrees, sites
    radius_m  : float, metres, >= 0
    Returns     bool array (d, s)
    Raises      ValueError: a coordinate is wrong, or the radius is negative
    """
    if not radius_m >= 0:
        raise ValueError(f"the radius is {radius_m} m: it must be 0 or more")
    return distance_matrix_m(latitude, longitude, to_latitude, to_longitude) <= radius_m


def too_close(latitude, longitude, standing_latitude, standing_longitude, apart_m=200.0):
    """Candidates that may not stand together, and those too close to a bin that stands.

    latitude, longitude : float arrays (s,), decimal degrees, candidates
    standing_latitude, standing_longitude : float arrays (b,), decimal degrees, bins that stand
    apart_m   : float, metres, at most one bin within it
    Returns     pairs, int array (p, 2), candidates within apart_m of each other, the first lower;
                excluded, bool array (s,), within apart_m of a standing bin
    Raises      ValueError: as reach
    """
    near = np.triu(reach(latitude, longitude, latitude, longitude, apart_m), k=1)
    beside = reach(latitude, longitude, standing_latitude, standing_longitude, apart_m)
    return np.argwhere(near), beside.any(axis=1)


def siting_rules(candidates, *, excluded=None, apart=(), council=None, minimum=None):
    """Rules for sets of candidates.

    candidates : int, how many there are
    excluded  : bool array (s,), candidates that may not be taken; None for none
    apart     : int array (p, 2), pairs of candidates of which at most one may be taken
    council   : array (s,), the council of each candidate; needed with minimum
    minimum   : {council: int}, fewest new bins in each council
    Returns     Rules
    Raises      ValueError: shapes do not fit, or a council has a minimum but no candidate
    """
    is_allowed = np.ones(candidates, dtype=bool) if excluded is None else ~np.asarray(excluded, dtype=bool)
    apart, minimum = np.asarray(apart, dtype=int).reshape(-1, 2), minimum or {}
    if is_allowed.shape != (candidates,) or (minimum and np.shape(council) != (candidates,)):
        raise ValueError(f"excluded and council need one entry for each of the {candidates} candidates")
    pairs = np.zeros((len(apart), candidates))
    pairs[np.arange(len(apart))[:, None], apart] = 1
    of_council = [np.asarray(council) == name for name in minimum]
    councils = np.array(of_council, dtype=float).reshape(len(minimum), candidates)
    for name, row in zip(minimum, councils, strict=True):
        if not row.any():
            raise ValueError(f"council {name!r} has a minimum of bins but no candidate site")
    lowest = np.append(np.full(len(pairs), -np.inf), list(minimum.values()))
    highest = np.append(np.ones(len(pairs)), np.full(len(councils), np.inf))
    return Rules(is_allowed, np.vstack([pairs, councils]), lowest, highest)


def keeps_rules(chosen, rules):
    """Whether a set of candidates, bool array (s,), keeps the rules."""
    taken = rules.rows @ chosen
    is_within = (taken >= rules.lowest) & (taken <= rules.highest)
    return bool(is_within.all() and rules.is_allowed[chosen].all())


def maximal_covering(weight, covers, k_most, *, standing=None, rules=None):
    """The sets of candidates that reach most weight, one for every number of new bins up to a limit.

    Among sets that reach as much the one with fewest bins is taken, and among those the earliest candidates.

    weight    : float array (d,), >= 0, harm at each place, e.g. expected yearly cases
    covers    : bool array (d, s), which places each candidate reaches
    k_most    : int, >= 1
    standing  : bool array (d,), places that a standing bin reaches; None for none
    rules     : Rules; None for none
    Returns     Covering
    Raises      ValueError: shapes do not fit, a weight is negative, there is no candidate, or k_most is below 1
    Source      Church & ReVelle (1974), Papers of the Regional Science Association 32:101-118; solved by
                branch and bound (HiGHS, through scipy) with no gap left.
    """
    weight, covers, standing, rules = _as_problem(weight, covers, standing, rules)
    if k_most < 1 or not covers.shape[1]:
        raise ValueError(
            f"k_most is {k_most} of {covers.shape[1]} candidates: at least one of each is needed"
        )
    sets = [best_set(weight, covers, k, standing, rules) for k in range(1, k_most + 1)]
    is_feasible = np.array([one is not None for one in sets], dtype=bool)
    chosen = np.array([np.zeros(covers.shape[1], bool) if one is None else one for one in sets], dtype=bool)
    covered = [weight_reached(weight, covers, one, standing) for one in chosen]
    return Covering(
        np.arange(1, k_most + 1),
        chosen,
        np.where(is_feasible, covered, np.nan),
        is_feasible,
        float(weight[standing].sum()),
        float(weight.sum()),
    )


def _as_problem(weight, covers, standing, rules):
    (weight,) = as_counts(weight=np.atleast_1d(weight))
    covers = np.atleast_2d(np.asarray(covers, dtype=bool))
    standing = np.zeros(weight.size, dtype=bool) if standing is None else np.asarray(standing, dtype=bool)
    rules = siting_rules(covers.shape[1]) if rules is None else rules
    if not covers.shape == (standing.size, rules.is_allowed.size) or standing.size != weight.size:
        raise ValueError(
            f"{weight.size} places and {rules.is_allowed.size} candidates, but covers is {covers.shape}"
        )
    return weight, covers, standing, rules


def weight_reached(weight, covers, chosen, standing):
    """Weight that the chosen and the standing bins reach together, float."""
    return float(weight[covers[:, chosen].any(axis=1) | standing].sum())


def best_set(weight, covers, k, standing, rules):
    """The best set of at most k candidates, bool (s,), or None where none keeps the rules; arguments as above."""
    weight, covers = _patterns(weight[~standing], covers[~standing])
    if is_apart(covers, rules):
        return best_apart(weight, covers, rules, k)
    best = _solve(weight, covers, rules, k, np.zeros(covers.shape[1]), -weight, 0.0)
    if best is None:
        return None
    most = weight @ (covers @ best > 0)
    # Fewest bins first; the order of the candidates only decides between equals.
    cost = 1 + np.arange(best.size) / (1 + best.size * k)
    # The solver needs a whisker of slack for its own rounding; what that lets slip is refused here.
    first = _solve(weight, covers, rules, k, cost, np.zeros(weight.size), most * (1 - 1e-6))
    return best if first is None or weight @ (covers @ first > 0) < most * (1 - 1e-12) else first


def _patterns(weight, covers):
    """Places that the same candidates reach, added up: a smaller problem with the same answer.

    The largest weight becomes 1,000, because the solver's tolerances are absolute.
    """
    pattern, place = np.unique(covers, axis=0, return_inverse=True)
    summed = np.bincount(place.reshape(-1), weight, len(pattern))
    needed = pattern.any(axis=1) & (summed > 0)
    return summed[needed] * 1000 / summed[needed].max(initial=1e-300), pattern[needed]


def _solve(weight, covers, rules, k, candidate_cost, place_cost, at_least):
    """Least cost with at most k candidates that reach a weight: bool (s,), or None."""
    places, candidates = covers.shape
    on_taken = np.vstack([rules.rows, np.ones(candidates)])
    constraints = [
        LinearConstraint(
            csr_array(np.hstack([on_taken, np.zeros((len(on_taken), places))])),
            np.append(rules.lowest, -np.inf),
            np.append(rules.highest, k),
        )
    ]
    if places:
        reached = block_array([[csr_array(-covers.astype(float)), eye_array(places)]])
        constraints.append(LinearConstraint(reached, -np.inf, 0))
        constraints.append(LinearConstraint(np.append(np.zeros(candidates), weight), at_least, np.inf))
    solution = milp(
        np.append(candidate_cost, place_cost),
        integrality=np.append(np.ones(candidates), np.zeros(places)),
        bounds=Bounds(0, np.append(rules.is_allowed, np.ones(places))),
        constraints=constraints,
        options={"mip_rel_gap": 0},
    )
    if solution.status not in (SOLVED, INFEASIBLE):
        raise RuntimeError(f"the siting problem could not be solved: {solution.message}")
    return None if solution.status == INFEASIBLE else solution.x[:candidates] > 0.5
