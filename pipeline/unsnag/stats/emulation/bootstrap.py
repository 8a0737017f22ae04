"""Percentile bootstrap over cases within clinics: clinics are kept, cases are drawn anew."""

import multiprocessing
from concurrent.futures import ProcessPoolExecutor
from itertools import repeat

import numpy as np


def case_counts(clinic, replicates, seed):
    """How often each case is drawn, when as many cases as a clinic has are drawn from it with replacement.

    clinic  : text array (n,)
    seed    : int
    Returns   int array (replicates, n); each row sums to the clinic's size within each clinic
    """
    generator = np.random.default_rng(seed)
    counts = np.zeros((replicates, len(clinic)), np.int32)
    for each in sorted(set(clinic)):
        members = np.flatnonzero(np.asarray(clinic) == each)
        drawn = generator.multinomial(len(members), np.full(len(members), 1 / len(members)), size=replicates)
        counts[:, members] = drawn
    return counts


def replicate(estimator, counts, workers=1):
    """Apply an estimator to each row of counts; the result doesn't depend on the number of workers.

    estimator : function of an int array (n,) that returns a float array; picklable if workers > 1
    counts    : int array (replicates, n)
    Returns     float array (replicates, ...)
    """
    if workers == 1:
        return _apply(estimator, counts)
    # Spawned, not forked: a fork would copy the threads' locks of an open database.
    with ProcessPoolExecutor(workers, mp_context=multiprocessing.get_context("spawn")) as pool:
        return np.concatenate(list(pool.map(_apply, repeat(estimator), np.array_split(counts, workers))))


def _apply(estimator, counts):
    return np.array([estimator(each) for each in counts])


def percentile_interval(draws, level=0.95, tolerated=0.05):
    """Percentile limits over the first axis.

    draws     : float array (replicates, ...); nan where a replicate could not be estimated
    tolerated : share of failed replicates above which there are no limits
    Returns     low, high: float arrays (...); nan where too many failed
    Source      Efron & Tibshirani (1993), ch. 13
    """
    if not draws.size:  # no cells, no limits; numpy would answer with another shape
        return (np.empty(draws.shape[1:]),) * 2
    failed = np.isnan(draws).mean(axis=0) > tolerated
    tails = [(1 - level) / 2, (1 + level) / 2]
    usable = np.where(failed, 0.0, draws)
    # A ratio over none is infinite; between two of them numpy finds no number, which is the answer: no limit.
    with np.errstate(invalid="ignore"):
        low, high = np.nanquantile(usable, tails, axis=0, method="weibull")
    return np.where(failed, np.nan, low), np.where(failed, np.nan, high)


def two_sided_p(draws):
    """Achieved significance level of no difference: twice the smaller tail beyond 0, with one added draw.

    draws   : float array (replicates, ...)
    Returns   float array (...), in (0, 1]
    Source    Davison & Hinkley (1997), ch. 4, for the added draw
    """
    usable = (~np.isnan(draws)).sum(axis=0)
    below, above = (draws <= 0).sum(axis=0), (draws >= 0).sum(axis=0)
    return np.minimum(1.0, 2 * (np.minimum(below, above) + 1) / (usable + 1))
