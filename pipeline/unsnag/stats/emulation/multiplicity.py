"""Many planned comparisons: the chance of a false discovery among them."""

import numpy as np
from scipy.stats import false_discovery_control


def benjamini_hochberg(p_values):
    """Adjusted p values over every planned comparison.

    p_values : float array (m,); nan where a comparison was too small to be tested: it was planned, so it still
               counts, as if its p were 1
    Returns    float array (m,), nan where p was nan
    Source     Benjamini & Hochberg (1995), J R Stat Soc B 57:289
    """
    p_values = np.asarray(p_values, float)
    untested = np.isnan(p_values)
    adjusted = false_discovery_control(np.where(untested, 1.0, p_values), method="bh")
    return np.where(untested, np.nan, adjusted)
