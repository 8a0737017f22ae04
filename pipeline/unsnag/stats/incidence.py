"""Cumulative incidence of endings that compete (Aalen-Johansen), exact with ties, from compact counts."""

from dataclasses import dataclass

import numpy as np

from unsnag.stats.arguments import normal_quantile
from unsnag.stats.hazards import daily_hazards
from unsnag.stats.risk_counts import risk_counts


@dataclass(frozen=True)
class Incidence:
    """Chance of each ending by each day; the leading axes (...) are those of the counts, e.g. groups.

    days      : int array (k,), ascending
    in_care   : float array (..., k), chance of being still in care after the day
    incidence : float array (..., c, k), chance of having ended so by the day, in [0, 1]
    variance  : float array (..., c, k), its variance
    low, high : float arrays (..., c, k), limits on the log(-log) scale; nan where the incidence is 0 or 1
    at_risk   : float array (..., k), animals at risk on the day
    reason    : str array (...), why a curve is missing or stops early; "" if it does not

    A curve is nan after the last day on which anybody was under observation, unless all had ended by then.
    """

    days: np.ndarray
    in_care: np.ndarray
    incidence: np.ndarray
    variance: np.ndarray
    low: np.ndarray
    high: np.ndarray
    at_risk: np.ndarray
    reason: np.ndarray


def cumulative_incidence(stay_days, ending, causes, entry_days=None, weights=None, level=0.95):
    """Chance that a stay has ended in each of ``causes`` by each day.

    Endings compete: treating death as censoring would overstate the chance of release.

    stay_days  : int array (n,), whole days from admission to ending or last sight, >= 0
    ending     : str array (n,), how the stay ended; "" if still in care (censored)
    causes     : sequence of c endings, e.g. ("released", "died", "euthanased")
    entry_days : int array (n,), first day under observation; 0 if left out
    weights    : float array (n,); with weights there is no variance (nan): bootstrap
    Returns     Incidence, with incidence (c, k)
    Raises      ValueError: lengths differ, a stay is negative, an entry is after its stay
    Source      Kalbfleisch & Prentice (2002), 2nd ed., ch. 8. Ties exact, no jitter.
    """
    counts = risk_counts(stay_days, ending, causes, entry_days=entry_days, weights=weights)
    return incidence_from_counts(
        counts.days, counts.at_risk[0], counts.events[0], level, with_variance=weights is None
    )


def incidence_from_counts(days, at_risk, events, level=0.95, with_variance=True):
    """Cumulative incidence from the numbers at risk and ending on each day.

    The variance is Greenwood's, carried to competing endings (the infinitesimal jackknife gives the same). It
    counts animals, so weighted counts have none: set with_variance=False and bootstrap.

    days    : int array (k,), ascending
    at_risk : array (..., k), animals (or weights) in care on the day, those who end on it included
    events  : array (..., c, k), endings by cause on the day
    level   : confidence of the limits
    Returns     Incidence
    Raises      ValueError: shapes do not fit, days do not ascend, or more end than are at risk
    Source      Andersen et al. (1993), Statistical Models Based on Counting Processes, sec. IV.4;
                limits as survfit(conf.type = "log-log") in R survival.
    """
    hazards = daily_hazards(days, at_risk, events)
    incidence = np.cumsum(hazards.before[..., None, :] * hazards.cause, axis=-1)
    variance = _variance(incidence, hazards) if with_variance else np.full(incidence.shape, np.nan)
    followed, reason = _followed(hazards)
    incidence, variance = (np.where(followed[..., None, :], x, np.nan) for x in (incidence, variance))
    low, high = log_log_limits(incidence, variance, level)
    in_care = np.where(followed, hazards.in_care, np.nan)
    return Incidence(hazards.days, in_care, incidence, variance, low, high, hazards.at_risk, reason)


def log_log_limits(chance, variance, level=0.95):
    """Limits of a chance on the log(-log) scale, which stay within 0 and 1.

    chance, variance : float arrays of one shape
    Returns     low, high, float arrays; nan where the chance is 0 or 1, which have no limits on this scale
    Source      Kalbfleisch & Prentice (2002), 2nd ed., sec. 1.4
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        # A sum of daily shares that should be 1 may miss it by a rounding, and then has no limits either.
        log_chance = np.where((chance > 0) & (chance < 1 - 1e-12), np.log(chance), np.nan)
        spread = np.exp(normal_quantile(level) * np.sqrt(variance) / (chance * -log_chance))
    return np.exp(log_chance * spread), np.exp(log_chance / spread)


def on_days(curve, days, wanted, before=0.0):
    """Values of a step curve on the wanted days.

    curve  : float array (..., k), e.g. Incidence.incidence
    days   : int array (k,), ascending, the days of the curve
    wanted : int array (m,), or one int
    before : value before the first day: 0 for incidence, 1 for the chance of being in care
    Returns     float array (..., m)
    """
    position = np.searchsorted(days, np.atleast_1d(wanted), side="right")
    padded = np.concatenate([np.full((*curve.shape[:-1], 1), before), curve], axis=-1)
    return padded[..., position]


def incidence_at(curve, wanted):
    """Incidence with its limits at fixed horizons, e.g. day 90.

    curve  : Incidence
    wanted : int array (m,), or one int, days
    Returns     incidence, low, high, float arrays (..., c, m); nan where nobody was observed that long
    """
    wanted = np.atleast_1d(wanted)
    in_care = on_days(curve.in_care, curve.days, wanted, before=1.0)
    beyond = ((wanted > curve.days.max(initial=-1)) & (in_care != 0))[..., None, :]
    incidence = np.where(beyond, np.nan, on_days(curve.incidence, curve.days, wanted))
    low, high = (
        np.where(beyond, np.nan, on_days(limit, curve.days, wanted, before=np.nan))
        for limit in (curve.low, curve.high)
    )
    return incidence, low, high


def incidence_quantile(curve, probability):
    """First day by which a share of all animals had ended so, e.g. half released.

    curve       : Incidence
    probability : float, e.g. 0.5
    Returns     float array (..., c), days; nan if the incidence never reaches that share
    """
    # The margin is for shares such as 3/10, which a sum of tenths misses by a rounding.
    reached = curve.incidence >= probability - 1e-12
    first = np.where(reached, curve.days, np.inf).min(axis=-1, initial=np.inf)
    return np.where(np.isinf(first), np.nan, first)


def _variance(incidence, hazards):
    """Variance of F(t): an ending so on day u <= t gains 1, any ending takes away F(t) - F(u).

    The square is multiplied out, so that running sums over u serve every t.
    """
    own, cross, loss = hazards.variance_parts()
    constant = np.cumsum(own + 2 * cross * incidence + loss * incidence**2, axis=-1)
    linear = np.cumsum(cross + loss * incidence, axis=-1)
    return np.maximum(constant - 2 * incidence * linear + incidence**2 * np.cumsum(loss, axis=-1), 0.0)


def _followed(hazards):
    """Whether the curve can be read on each day, and the reason where it cannot."""
    days, in_care = hazards.days, hazards.in_care
    last = np.where(hazards.at_risk > 0, days, -1).max(axis=-1, initial=-1)[..., None]
    all_ended = in_care == 0
    # With late entries everybody seen so far may have ended before the others came under observation.
    too_early = all_ended & (days < last)
    followed = ((days <= last) | all_ended) & ~too_early
    reason = np.where(followed.all(axis=-1), "", "nobody was observed longer")
    reason = np.where(too_early.any(axis=-1), "all observed animals had ended before others entered", reason)
    return followed, np.where(last[..., 0] < 0, "no animals", reason)
