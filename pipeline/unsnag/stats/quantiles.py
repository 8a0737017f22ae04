"""Quantiles of stays that have ended: a description, e.g. of the released; not a chance of release."""

import numpy as np


def stay_quantiles(stay_days, probabilities=(0.25, 0.5, 0.75)):
    """Median and quartiles of completed stays, e.g. of the animals released.

    Those still in care are not in it, so it is shorter than the stay that awaits a new admission: for that, use
    incidence.

    stay_days     : int array (n,), whole days
    probabilities : floats (q,) in [0, 1]
    Returns     float array (q,), days; nan without stays. Between two days the middle, as in any median.
    Source      Hyndman & Fan (1996) Am Stat 50:361-365, definition 2
    """
    stay_days = np.asarray(stay_days, dtype=float)
    if not stay_days.size:
        return np.full(len(probabilities), np.nan)
    return np.quantile(stay_days, probabilities, method="averaged_inverted_cdf")
