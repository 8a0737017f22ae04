"""Percentile bootstrap over cases within clinics: clinics are kept, cases are drawn anew."""

import multiprocessing
from concurrent.futures import ProcessPoolExecutor
from itertools import repeat

import numpy as np
from scipy.stats import norm
from scipy.stats import t as student


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


def percentile_interval(draws, level=0.95, tolerated=0.05, effective_size=np.inf):
    """Percentile limits over the first axis, wider where a figure rests on few animals.

    draws          : float array (replicates, ...); nan where a replicate could not be estimated
    tolerated      : share of failed replicates above which there are no limits
    effective_size : float array that broadcasts to (...), animals that a figure rests on. A resampling spreads by
                     the divisor n, not n - 1, and knows nothing of Student's t: the levels are moved out by both
    Returns          low, high: float arrays (...); nan where too many failed
    Source           Efron & Tibshirani (1993), ch. 13; of R draws the (R + 1) q-th smallest stands for the quantile q
                     (Davison & Hinkley 1997, ch. 5): other definitions lie further in, so that too few limits would
                     cover; expanded levels: Hesterberg (2014), arXiv:1411.5279
    """
    failed = np.isnan(draws).mean(axis=0) > tolerated if len(draws) else True
    few = 1 - 1 / np.maximum(effective_size, 2)
    tail = norm.sf(student.isf((1 - level) / 2, np.maximum(effective_size, 2) - 1) / np.sqrt(few))
    low, high = (_quantile(draws, np.broadcast_to(share, draws.shape[1:])) for share in (tail, 1 - tail))
    return np.where(failed, np.nan, low), np.where(failed, np.nan, high)


def _quantile(draws, share):
    """The (R + 1) q-th smallest of each column's R draws that could be estimated."""
    if not draws.size:  # no cells, no limits
        return np.full(draws.shape[1:], np.nan)
    last = np.maximum((~np.isnan(draws)).sum(axis=0) - 1, 0)
    place = np.clip((last + 2) * share - 1, 0, last)
    below = np.floor(place).astype(int)
    ordered = np.sort(draws, axis=0)  # nan comes last
    low, high = (
        np.take_along_axis(ordered, each[None], axis=0)[0] for each in (below, np.minimum(below + 1, last))
    )
    # A ratio over none is infinite; between two of them there is no number, which is the answer: no limit.
    with np.errstate(invalid="ignore"):
        return np.where(place == below, low, low + (place - below) * (high - low))


def two_sided_p(draws, effective_size=np.inf):
    """Achieved significance level of no difference: twice the smaller tail beyond 0, with one added draw.

    draws          : float array (replicates, ...)
    effective_size : as in percentile_interval, so that a p value and its limits say the same
    Returns          float array (...), in (0, 1]
    Source           Davison & Hinkley (1997), ch. 4, for the added draw
    """
    usable = (~np.isnan(draws)).sum(axis=0)
    below, above = (draws <= 0).sum(axis=0), (draws >= 0).sum(axis=0)
    level = np.minimum(1.0, 2 * (np.minimum(below, above) + 1) / (usable + 1))
    size = np.maximum(effective_size, 2)
    return 2 * student.sf(norm.isf(level / 2) * np.sqrt(1 - 1 / size), size - 1)
