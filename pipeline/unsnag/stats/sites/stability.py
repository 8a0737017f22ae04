"""Would other years have led to the same sites? The best set again, on harm as it might have been."""

from typing import NamedTuple

import numpy as np

from unsnag.stats.arguments import as_counts, divide, tail_probability
from unsnag.stats.sites.covering import best_set, keeps_rules, siting_rules, weight_reached


class Stability(NamedTuple):
    """How firm a set of sites is; s candidates."""

    chosen_again: np.ndarray  # float (s,), share of the draws whose best set holds the candidate
    covered_share: (
        float  # middle share of all weight that the set reaches over the draws, standing bins included
    )
    covered_low: float  # its lower limit
    covered_high: float  # its upper limit
    lost: float  # middle share of the reachable weight lost against each draw's own best set


def resample(cases, draws, seed):
    """Cases of each place as another such record might have had them: each case drawn again from all of them.

    cases     : int array (d,)
    draws     : int
    seed      : int
    Returns     int array (draws, d), each row adding up to the cases
    Raises      ValueError: a count is negative
    Source      Efron (1979), Ann Stat 7:1-26, the bootstrap.
    """
    (cases,) = as_counts(cases=np.atleast_1d(cases))
    total = int(cases.sum())
    share = cases / total if total else np.full(cases.size, 1 / max(cases.size, 1))
    return np.random.default_rng(seed).multinomial(total, share, size=draws)


def stability(weight_draws, covers, chosen, *, standing=None, rules=None, level=0.95):
    """How often each candidate is chosen, and how well one set does, over draws of the weight.

    weight_draws : float array (draws, d), e.g. of resample() or Expected.draws
    covers    : bool array (d, s), which places each candidate reaches
    chosen    : bool array (s,), the set to judge; the best sets have as many bins at most
    standing  : bool array (d,), places that a standing bin reaches; None for none
    rules     : Rules; None for none
    level     : confidence of the limits
    Returns     Stability
    Raises      ValueError: no candidate is chosen, the set breaks a rule, or there are no draws
    """
    chosen, covers = np.asarray(chosen, dtype=bool), np.asarray(covers, dtype=bool)
    weight_draws = np.atleast_2d(np.asarray(weight_draws, dtype=float))
    if not chosen.any() or not weight_draws.size:
        raise ValueError("stability needs a chosen set and at least one draw of the weights")
    standing = np.zeros(len(covers), dtype=bool) if standing is None else np.asarray(standing, dtype=bool)
    rules = siting_rules(chosen.size) if rules is None else rules
    if not keeps_rules(chosen, rules):
        raise ValueError("the chosen set breaks a rule of siting")
    sets = np.array([best_set(weight, covers, chosen.sum(), standing, rules) for weight in weight_draws])
    covered = np.array([weight_reached(weight, covers, chosen, standing) for weight in weight_draws])
    best = [
        weight_reached(weight, covers, one, standing) for weight, one in zip(weight_draws, sets, strict=True)
    ]
    share = divide(covered, weight_draws.sum(axis=1))
    tail = tail_probability(level)
    middle, low, high = np.nanquantile(share, [0.5, tail, 1 - tail])
    lost = np.nanmedian(1 - divide(covered, best))
    return Stability(sets.mean(axis=0), float(middle), float(low), float(high), float(lost))
