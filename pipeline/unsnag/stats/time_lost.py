"""Restricted mean time: days in care, and days lost from care to each ending, up to a horizon."""

from dataclasses import dataclass, replace

import numpy as np

from unsnag.stats.hazards import daily_hazards
from unsnag.stats.incidence import incidence_at, incidence_from_counts


@dataclass(frozen=True)
class TimeLost:
    """Mean days of the horizon, split into days in care and days after each ending.

    in_care, in_care_variance : float arrays (...), days and their variance
    lost, lost_variance       : float arrays (..., c), days after ending so; in_care + lost = horizon
    reason                    : str array (...), why there is no answer; "" if there is one
    """

    in_care: np.ndarray
    in_care_variance: np.ndarray
    lost: np.ndarray
    lost_variance: np.ndarray
    reason: np.ndarray


def time_lost(days, at_risk, events, horizon):
    """Restricted mean time lost to each ending: the area under its incidence up to the horizon.

    Two groups compare by the difference, whose variance is the sum of theirs.

    days    : int array (k,), ascending
    at_risk : array (..., k), animals in care on the day, those who end on it included
    events  : array (..., c, k), endings by cause on the day
    horizon : int, days > 0
    Returns     TimeLost; nan, with the reason, where nobody was observed up to the horizon
    Raises      ValueError: as incidence_from_counts, or the horizon is not positive
    Source      Andersen (2013) Stat Med 32:5278-5285; variance by the influence of each day's endings, as
                residuals(survfit, type = "auc") in R survival.
    """
    if not horizon > 0:
        raise ValueError(f"horizon: {horizon} is not a positive number of days")
    hazards = daily_hazards(days, at_risk, events)
    jumps = hazards.before[..., None, :] * hazards.cause
    lost, variance = _lost(hazards, jumps, horizon)
    any_ending = replace(hazards, cause=hazards.any_cause[..., None, :])
    all_lost, all_variance = _lost(any_ending, jumps.sum(axis=-2, keepdims=True), horizon)
    reason = _reason(days, at_risk, events, horizon)
    known = np.where(reason == "", 1.0, np.nan)
    in_care = known * (horizon - all_lost[..., 0])
    each = known[..., None]
    return TimeLost(in_care, known * all_variance[..., 0], each * lost, each * variance, reason)


def _lost(hazards, jumps, horizon):
    """Days lost and their variance: an ending on day u gains the rest of the horizon for its cause."""
    rest = np.maximum(horizon - hazards.days, 0).astype(float)
    by_day = jumps * rest
    lost = by_day.sum(axis=-1)
    later = lost[..., None] - np.cumsum(by_day, axis=-1)
    own, cross, loss = hazards.variance_parts()
    terms = own * rest**2 - 2 * cross * rest * later + loss * later**2
    return lost, np.where(hazards.days < horizon, terms, 0.0).sum(axis=-1)


def _reason(days, at_risk, events, horizon):
    """Incidence is constant within a day, so the day before the horizon must have been observed."""
    curve = incidence_from_counts(days, at_risk, events)
    seen = ~np.isnan(incidence_at(curve, horizon - 1)[0]).any(axis=(-2, -1))
    unseen = np.where(curve.reason == "", "nobody was observed up to the horizon", curve.reason)
    return np.where(seen, "", unseen)
