"""Whether cases at one place become more frequent or fewer from year to year."""

from typing import NamedTuple

import numpy as np
from scipy.optimize import brentq
from scipy.stats import norm

from unsnag.stats.arguments import tail_probability

YEAR = 365.25
FEWEST_CASES = 10
STEEPEST = 3.0


class Trend(NamedTuple):
    """Change of the daily rate, as a factor a year."""

    ratio: float  # 1 no change, 1.1 a tenth more each year; nan where too few to tell
    low: float  # lower limit, 0 where the data set none
    high: float  # upper limit, inf where the data set none
    p_value: float  # two-sided, of no change


def yearly_trend(day, first_day, last_day, level=0.95):
    """Factor a year of a rate that grows or falls evenly, from the days of its cases alone.

    Given their number, the days of cases with a daily rate in proportion to exp(slope times day) tell the slope;
    limits and p-value by its score. At a slope of 0 this is Laplace's test.

    day       : int array (n,), day of each case
    first_day, last_day : int, first and last day of record
    level     : confidence of the limits
    Returns     Trend; all nan under ten cases
    Raises      ValueError: a case lies outside the record
    Source      Cox & Lewis (1966), The Statistical Analysis of Series of Events, section 3.3 (section from memory);
                the slope is that of a Poisson regression of daily counts on the day.
    """
    day = np.asarray(day, dtype=float)
    if day.size and not (first_day <= day.min() and day.max() <= last_day):
        raise ValueError(f"cases lie outside the record, day {first_day} to {last_day}")
    if day.size < FEWEST_CASES:
        return Trend(*[np.nan] * 4)
    years = (np.arange(first_day, last_day + 1) - first_day) / YEAR
    mean = float((day - first_day).mean() / YEAR)

    def standardised(slope):
        """The score in its own standard errors; falls as the slope grows."""
        weight = np.exp(slope * (years - years[-1] * (slope > 0)))
        expected = np.average(years, weights=weight)
        variance = np.average((years - expected) ** 2, weights=weight)
        return (mean - expected) * np.sqrt(day.size / variance)

    quantile = norm.isf(tail_probability(level))
    steps = (0.0, quantile, -quantile)
    ratio, low, high = (_factor(lambda slope, away=away: standardised(slope) - away) for away in steps)
    return Trend(ratio, low, high, float(2 * norm.sf(abs(standardised(0.0)))))


def _factor(falling):
    """exp of the slope where a falling function is 0; 0 or inf beyond what the data can set."""
    if falling(-STEEPEST) <= 0:
        return 0.0
    if falling(STEEPEST) >= 0:
        return float("inf")
    return float(np.exp(brentq(falling, -STEEPEST, STEEPEST, xtol=1e-12)))
