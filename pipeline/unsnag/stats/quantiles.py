"""Quantiles of whole days from counts."""

import numpy as np


def weighted_quantiles(values, counts, probabilities):
    """Quantiles of values that each stand for a number of animals.

    The inverse of the distribution function, averaged where it is flat: the median of an even number of animals is
    the mean of the two in the middle.

    values        : float array (n,)
    counts        : int array (n,), animals, >= 0
    probabilities : sequence of m numbers within (0, 1)
    Returns     float array (m,); nan if there are no animals
    Raises      ValueError: lengths differ or a count is negative
    Source      Hyndman & Fan (1996) Am Stat 50:361-365, definition 2.
    """
    values, counts = np.asarray(values, dtype=float), np.asarray(counts, dtype=float)
    if values.shape != counts.shape or (counts < 0).any():
        raise ValueError("values and counts: lengths differ or a count is negative")
    order = np.argsort(values, kind="stable")
    values, cumulative = values[order], np.cumsum(counts[order])
    if not len(values) or cumulative[-1] == 0:
        return np.full(len(probabilities), np.nan)
    place = np.asarray(probabilities) * cumulative[-1]
    # The margin is for shares such as 3/10 of ten animals, which rounding puts just beside a whole number.
    lower = values[np.searchsorted(cumulative, place - 1e-9, side="left")]
    upper = values[np.minimum(np.searchsorted(cumulative, place + 1e-9, side="left"), len(values) - 1)]
    return (lower + upper) / 2


def quartiles(values, counts):
    """First quartile, median and third quartile of values that each stand for a number of animals.

    values, counts : as weighted_quantiles
    Returns     low, median, high, floats; nan if there are no animals
    Raises      ValueError: as weighted_quantiles
    Source      as weighted_quantiles
    """
    return tuple(weighted_quantiles(values, counts, (0.25, 0.5, 0.75)))
