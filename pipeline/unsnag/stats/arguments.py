"""The questions every estimator asks of its arrays before it computes."""

import numpy as np
from scipy.stats import norm


def as_counts(**arrays):
    """Named arrays of counts as float arrays of one shape.

    Returns     list of float arrays, broadcast against each other, in the order given
    Raises      ValueError: a count is negative or not a number, or the shapes do not fit
    """
    names = list(arrays)
    counts = [np.asarray(array, dtype=float) for array in arrays.values()]
    for name, values in zip(names, counts, strict=True):
        if np.isnan(values).any() or (values < 0).any():
            raise ValueError(f"{name}: counts must be numbers of at least 0")
    try:
        return list(np.broadcast_arrays(*counts))
    except ValueError as error:
        shapes = ", ".join(f"{name} {values.shape}" for name, values in zip(names, counts, strict=True))
        raise ValueError(f"the arrays differ in shape: {shapes}") from error


def as_part_and_total(part, total, part_name="count"):
    """A count and the total that it is part of, as float arrays of one shape.

    Raises      ValueError: a count is negative, exceeds its total, or the shapes do not fit
    """
    part, total = as_counts(**{part_name: part, "total": total})
    if (part > total).any():
        raise ValueError(f"{part_name}: a count exceeds its total")
    return part, total


def as_weights(standard, strata):
    """Weights of a standard population, float array (strata,), that sum to 1.

    Raises      ValueError: not one weight a stratum, a weight is negative, or all are 0
    """
    weights = np.asarray(standard, dtype=float)
    if weights.shape != (strata,) or not (weights >= 0).all() or weights.sum() <= 0:
        raise ValueError("standard: one weight of at least 0 for each stratum, and not all 0")
    return weights / weights.sum()


def normal_quantile(level):
    """Two-sided standard normal quantile of a confidence level, e.g. 1.96 for 0.95.

    Raises      ValueError: the level is not between 0 and 1
    """
    return norm.isf(tail_probability(level))


def tail_probability(level):
    """Probability left in each tail by a confidence level, e.g. 0.025 for 0.95.

    Raises      ValueError: the level is not between 0 and 1
    """
    if not 0 < level < 1:
        raise ValueError(f"level: {level} is not between 0 and 1")
    return (1 - level) / 2


def divide(numerator, denominator, otherwise=np.nan):
    """numerator / denominator, and ``otherwise`` where the denominator is 0."""
    numerator, denominator = np.broadcast_arrays(
        np.asarray(numerator, dtype=float), np.asarray(denominator, dtype=float)
    )
    return np.divide(numerator, denominator, out=np.full(numerator.shape, otherwise), where=denominator != 0)
