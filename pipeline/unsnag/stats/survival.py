"""One ending only: Kaplan-Meier survival and Nelson-Aalen cumulative hazard.

Both are read off the daily hazards that serve the competing endings, so all share one rule for ties, same-day
endings and late entries. Where endings compete, use incidence: one minus Kaplan-Meier overstates it.
"""

from dataclasses import dataclass

import numpy as np

from unsnag.stats.arguments import divide, normal_quantile
from unsnag.stats.hazards import daily_hazards
from unsnag.stats.incidence import incidence_from_counts, log_log_limits
from unsnag.stats.risk_counts import risk_counts


@dataclass(frozen=True)
class Curve:
    """A step curve with its limits.

    days      : int array (k,), ascending
    value     : float array (k,), after the day
    variance  : float array (k,)
    low, high : float arrays (k,); nan where there is nothing to vary, e.g. before the first ending
    at_risk   : float array (k,), animals under observation on the day
    reason    : str, why the curve is missing or stops early; "" if it does not
    """

    days: np.ndarray
    value: np.ndarray
    variance: np.ndarray
    low: np.ndarray
    high: np.ndarray
    at_risk: np.ndarray
    reason: str


def kaplan_meier(stay_days, is_ended, entry_days=None, level=0.95):
    """Chance of being without the ending after each day.

    stay_days  : int array (n,), whole days, >= 0
    is_ended   : bool array (n,), False if censored
    entry_days : int array (n,), first day under observation; 0 if left out
    level      : confidence of the limits, on the log(-log) scale
    Returns     Curve of survival in [0, 1], with Greenwood's variance
    Raises      ValueError: lengths differ, a stay is negative, an entry is after its stay
    Source      Kaplan & Meier (1958) J Am Stat Assoc 53:457-481; limits as survfit(conf.type = "log-log") in R.
    """
    counts = _single_ending(stay_days, is_ended, entry_days)
    curve = incidence_from_counts(counts.days, counts.at_risk[0], counts.events[0])
    low, high = log_log_limits(curve.in_care, curve.variance[0], level)
    return Curve(curve.days, curve.in_care, curve.variance[0], low, high, curve.at_risk, str(curve.reason))


def nelson_aalen(stay_days, is_ended, entry_days=None, level=0.95):
    """Cumulative hazard of the ending by each day.

    stay_days, is_ended, entry_days : as kaplan_meier
    level      : confidence of the limits, on the log scale
    Returns     Curve of the cumulative hazard, >= 0, with Aalen's variance
    Raises      ValueError: as kaplan_meier
    Source      Aalen (1978) Ann Stat 6:701-726; std.chaz of survfit(ctype = 1) in R survival.
    """
    counts = _single_ending(stay_days, is_ended, entry_days)
    hazards = daily_hazards(counts.days, counts.at_risk[0], counts.events[0])
    value = np.cumsum(hazards.any_cause)
    variance = np.cumsum(divide(hazards.any_cause, hazards.at_risk))
    spread = np.exp(divide(normal_quantile(level) * np.sqrt(variance), value))
    reason = "" if len(value) else "no animals"
    return Curve(hazards.days, value, variance, value / spread, value * spread, hazards.at_risk, reason)


def survival_quantile(curve, probability=0.5):
    """Day by which a share of the animals has ended, with its limits; 0.5 gives the median.

    Where the curve is flat at exactly that share, the middle of the flat stretch, as a sample median.

    curve       : Curve of kaplan_meier
    probability : float, share that has ended
    Returns     day, low, high, floats; nan where the curve or its limit does not come down so far
    Source      Brookmeyer & Crowley (1982) Biometrics 38:29-41; flat stretches as quantile(survfit) in R survival.
    """
    remaining = 1 - probability
    return tuple(
        _comes_down_to(curve.days, limit, remaining) for limit in (curve.value, curve.low, curve.high)
    )


def _comes_down_to(days, value, remaining):
    # The margin is for shares such as 3/10, which a product of tenths misses by a rounding.
    reached, passed = value <= remaining + 1e-12, value < remaining - 1e-12
    if not reached.any():
        return np.nan
    return (days[reached][0] + (days[passed][0] if passed.any() else days[-1])) / 2


def _single_ending(stay_days, is_ended, entry_days):
    ending = np.where(np.asarray(is_ended, dtype=bool), "ended", "")
    return risk_counts(stay_days, ending, ("ended",), entry_days=entry_days)
