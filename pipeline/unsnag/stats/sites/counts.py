"""Whole numbers of animals, as every count of a site must be."""

import numpy as np

from unsnag.stats.arguments import as_counts


def as_whole_counts(**arrays):
    """Named arrays of counts as int arrays of one length.

    Returns     list of int arrays (n,), in the order given
    Raises      ValueError: a count is negative, not a number or not whole, or the lengths differ
    """
    counts = as_counts(**{name: np.atleast_1d(array) for name, array in arrays.items()})
    for name, values in zip(arrays, counts, strict=True):
        if (values % 1).any():
            raise ValueError(f"{name}: counts must be whole numbers")
    return [values.astype(np.int64) for values in counts]
