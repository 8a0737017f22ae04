"""Siting where no place is reached from two candidates: the largest are the best, without a solver.

Most coasts are so, and one exact answer of a solver takes as long as a thousand of these.
"""

import numpy as np


def is_apart(covers, rules):
    """Whether no place is reached by two allowed candidates and no rule forbids two allowed candidates together.

    covers    : bool array (d, s), which places each candidate reaches
    rules     : Rules; rows without an upper limit, fewest bins of a council, do not bind candidates together
    """
    alone = (covers[:, rules.is_allowed].sum(axis=1) <= 1).all()
    limited = np.isfinite(rules.highest)
    together = rules.rows[limited][:, rules.is_allowed].sum(axis=1) > rules.highest[limited]
    return bool(alone and not together.any())


def best_apart(weight, covers, rules, k):
    """The best set of at most k candidates that share no place: bool (s,), or None where none keeps the rules.

    weight, covers, rules, k : as best_set() of covering; its rules for ties are kept
    """
    reached = np.where(rules.is_allowed, weight @ covers, 0.0)
    best_first = np.lexsort((np.arange(reached.size), -reached))
    best_first = best_first[rules.is_allowed[best_first]]
    chosen = np.zeros(reached.size, dtype=bool)
    for row, lowest in zip(rules.rows, rules.lowest, strict=True):
        if lowest > 0:
            needed = best_first[row[best_first] > 0][: int(lowest)]
            if needed.size < lowest:
                return None
            chosen[needed] = True
    if chosen.sum() > k:
        return None
    others = best_first[~chosen[best_first] & (reached[best_first] > 0)]
    chosen[others[: k - chosen.sum()]] = True
    return chosen
