"""Two-by-two tables of several sites, each conditional on its own margins.

A site's own level of tackle cases and its own effort drop out, however few its cases: with a parameter for every
site and a handful of cases at each, an ordinary logistic regression exaggerates.
"""

from typing import NamedTuple

import numpy as np
from scipy.special import gammaln


class Tables(NamedTuple):
    """Tables of n sites: tackle or other, before or after."""

    after_tackle: np.ndarray  # float (n,)
    lowest: np.ndarray  # float (n,), fewest tackle cases after that the margins allow
    highest: np.ndarray  # float (n,), most
    log_ways: np.ndarray  # float (n, m), log number of ways to have 0, 1, … of them; -inf where not allowed


def tables(before_tackle, before_other, after_tackle, after_other):
    """Tables with what their margins allow.

    before_tackle, before_other, after_tackle, after_other : float arrays (n,), counts
    Returns     Tables
    """
    tackle, before, after = (
        before_tackle + after_tackle,
        before_tackle + before_other,
        after_tackle + after_other,
    )
    lowest, highest = np.maximum(0, tackle - before), np.minimum(tackle, after)
    count = np.arange(tackle.max(initial=0) + 1)[None, :]
    is_allowed = (count >= lowest[:, None]) & (count <= highest[:, None])
    held = np.clip(count, lowest[:, None], highest[:, None])
    cells = (held, after[:, None] - held, tackle[:, None] - held, (before - tackle)[:, None] + held)
    return Tables(
        after_tackle,
        lowest,
        highest,
        np.where(is_allowed, -sum(gammaln(cell + 1) for cell in cells), -np.inf),
    )


def moments(tables, log_odds_ratio):
    """Mean and variance of the tackle cases after, given the margins: Fisher's noncentral hypergeometric.

    tables    : Tables, n sites
    log_odds_ratio : float array (n,), after against before
    Returns     mean, variance, float arrays (n,)
    """
    # scipy has this distribution, too slow by far for the hundreds of times that a fit asks for it.
    count = np.arange(tables.log_ways.shape[1])
    log_weight = tables.log_ways + count * log_odds_ratio[:, None]
    weight = np.exp(log_weight - log_weight.max(axis=1, keepdims=True))
    weight /= weight.sum(axis=1, keepdims=True)
    mean = weight @ count
    return mean, (weight * (count - mean[:, None]) ** 2).sum(axis=1)


def common_change(tables, stratum, offset):
    """Log odds ratio shared by the sites of each stratum, on top of a known offset: conditional maximum likelihood.

    tables    : Tables, n sites
    stratum   : int array (n,), 0, 1, …
    offset    : float array (n,)
    Returns     float array (strata,); large where all cases stand at an end of what the margins allow
    """
    change = np.zeros(stratum.max() + 1)
    for _ in range(100):
        mean, variance = moments(tables, change[stratum] + offset)
        score = np.bincount(stratum, tables.after_tackle - mean)
        information = np.bincount(stratum, variance)
        step = np.clip(score / np.maximum(information, 1e-12), -1, 1)
        change += step
        if np.abs(step).max() < 1e-10 or np.abs(change).max() > 30:
            break
    return change
