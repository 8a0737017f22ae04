"""Proportions of animals: one, the difference of two, the ratio of two.

Every function broadcasts its arrays. A group without animals has no proportion: it gets nan, never 0.
"""

import numpy as np
from scipy.stats import beta

from unsnag.stats.arguments import as_part_and_total, divide, normal_quantile, tail_probability


def proportion(count, total):
    """Share of animals, e.g. the release rate among resolved live admissions.

    count, total : arrays of one shape, animals, 0 <= count <= total
    Returns     share, float array in [0, 1]; nan where total is 0
    Raises      ValueError: a count is negative or exceeds its total
    """
    return divide(*as_part_and_total(count, total))


def wilson(count, total, level=0.95):
    """Score limits of a proportion: the approximate interval for small groups.

    count, total : arrays of one shape, animals, 0 <= count <= total
    level     : confidence, e.g. 0.95
    Returns     low, high, float arrays in [0, 1]; nan where total is 0
    Raises      ValueError: a count is negative or exceeds its total
    Source      Wilson (1927) J Am Stat Assoc 22:209-212; Newcombe (1998) Stat Med 17:857-872, method 3.
    """
    count, total = as_part_and_total(count, total)
    squared = normal_quantile(level) ** 2
    centre = divide(count + squared / 2, np.where(total > 0, total + squared, 0))
    spread = squared * divide(count * (total - count), total) + squared**2 / 4
    half_width = np.sqrt(spread) / (total + squared)
    # At the ends rounding would leave 1e-17 instead of the exact 0 or 1.
    low = np.where(count == 0, np.where(total > 0, 0.0, np.nan), centre - half_width)
    high = np.where((count == total) & (total > 0), 1.0, centre + half_width)
    return low, high


def clopper_pearson(count, total, level=0.95):
    """Exact limits of a proportion: coverage is never below the level, so they are wide.

    count, total : arrays of one shape, animals, 0 <= count <= total
    level     : confidence, e.g. 0.95
    Returns     low, high, float arrays in [0, 1]; nan where total is 0
    Raises      ValueError: a count is negative or exceeds its total
    Source      Clopper & Pearson (1934) Biometrika 26:404-413; used by Hale et al. (2023).
    """
    count, total = as_part_and_total(count, total)
    tail = tail_probability(level)
    with np.errstate(invalid="ignore"):
        low = np.where(count == 0, 0.0, beta.ppf(tail, count, total - count + 1))
        high = np.where(count == total, 1.0, beta.isf(tail, count + 1, total - count))
    return np.where(total > 0, low, np.nan), np.where(total > 0, high, np.nan)


def newcombe_difference(count_1, total_1, count_2, total_2, level=0.95):
    """Difference of two independent proportions, first minus second, with hybrid score limits.

    count_1, total_1, count_2, total_2 : arrays of one shape, animals
    level     : confidence, e.g. 0.95
    Returns     difference, low, high, float arrays in [-1, 1]; nan where a total is 0
    Raises      ValueError: a count is negative or exceeds its total
    Source      Newcombe (1998) Stat Med 17:873-890, method 10 (no continuity correction).
    """
    first = proportion(count_1, total_1), *wilson(count_1, total_1, level)
    second = proportion(count_2, total_2), *wilson(count_2, total_2, level)
    return difference_from_limits(first, second)


def difference_from_limits(first, second):
    """Difference of two independent estimates, first minus second, from the limits of each.

    first, second : each an estimate, low and high, float arrays of one shape, e.g. incidence_at or direct_rate
    Returns     difference, low, high, float arrays
    Source      Zou & Donner (2008) Stat Med 27:1693-1702
    """
    (estimate_1, low_1, high_1), (estimate_2, low_2, high_2) = first, second
    difference = estimate_1 - estimate_2
    low = difference - np.hypot(estimate_1 - low_1, high_2 - estimate_2)
    high = difference + np.hypot(high_1 - estimate_1, estimate_2 - low_2)
    return difference, low, high


def risk_ratio(count_1, total_1, count_2, total_2, level=0.95):
    """Ratio of two independent proportions, first over second, with limits on the log scale.

    Where nobody in the second group had the outcome there is no ratio (nan). Where nobody in the first had
    it, or everybody in both, the log scale has no limits (nan): give the difference instead.

    count_1, total_1, count_2, total_2 : arrays of one shape, animals
    level     : confidence, e.g. 0.95
    Returns     ratio, low, high, float arrays >= 0
    Raises      ValueError: a count is negative or exceeds its total
    Source      Katz et al. (1978) Biometrics 34:469-474, method C.
    """
    count_1, total_1 = as_part_and_total(count_1, total_1, "count_1")
    count_2, total_2 = as_part_and_total(count_2, total_2, "count_2")
    ratio = divide(divide(count_1, total_1), divide(count_2, total_2))
    variance = divide(1, count_1) - divide(1, total_1) + divide(1, count_2) - divide(1, total_2)
    everybody = (count_1 == total_1) & (count_2 == total_2)
    spread = np.exp(normal_quantile(level) * np.sqrt(np.where(everybody, np.nan, variance)))
    return ratio, ratio / spread, ratio * spread
