"""Daily hazards from compact counts, and the sums of variance that incidence and time lost share."""

from dataclasses import dataclass

import numpy as np

from unsnag.stats.arguments import divide


@dataclass(frozen=True)
class Hazards:
    """What happened to those at risk on each day.

    days      : int array (k,), ascending
    at_risk   : float array (..., k)
    cause     : float array (..., c, k), share of those at risk who ended so on the day
    any_cause : float array (..., k), share who ended in any way; exactly 1 where all did
    in_care   : float array (..., k), chance of being still in care after the day
    before    : float array (..., k), the same just before the day
    """

    days: np.ndarray
    at_risk: np.ndarray
    cause: np.ndarray
    any_cause: np.ndarray
    in_care: np.ndarray
    before: np.ndarray

    def variance_parts(self):
        """The three parts of a day's variance, to be weighted by what an ending gains and takes away.

        A day's endings vary like a multinomial among those at risk. If an ending of the cause on the day
        gains G and any ending takes away T of what survivors of the day still had to gain, the day adds
        own G^2 - 2 cross G T + loss T^2.
        """
        before, weight = self.before[..., None, :], divide(1.0, self.at_risk, 0.0)[..., None, :]
        own = weight * self.cause * (1 - self.cause) * before**2
        cross = weight * self.cause * before
        # On a day when all end nothing is left to take away, and 0/0 counts as 0.
        loss = weight * divide(self.any_cause, 1 - self.any_cause, 0.0)[..., None, :]
        return own, cross, loss


def daily_hazards(days, at_risk, events):
    """Hazards on each day; 0 where nobody is at risk.

    days    : int array (k,), ascending
    at_risk : array (..., k), animals (or weights) in care on the day, those who end on it included
    events  : array (..., c, k), endings by cause on the day
    Returns     Hazards
    Raises      ValueError: shapes do not fit, days do not ascend, or more end than are at risk
    """
    days, at_risk, events = _checked(days, at_risk, events)
    cause = _hazard(events, at_risk[..., None, :])
    any_cause = _hazard(events.sum(axis=-2), at_risk)
    in_care = np.cumprod(1 - any_cause, axis=-1)
    before = np.concatenate([np.ones((*in_care.shape[:-1], 1)), in_care[..., :-1]], axis=-1)
    return Hazards(days, at_risk, cause, any_cause, in_care, before)


def _checked(days, at_risk, events):
    days = np.asarray(days)
    at_risk, events = np.asarray(at_risk, dtype=float), np.asarray(events, dtype=float)
    if events.ndim != at_risk.ndim + 1 or events.shape[:-2] + events.shape[-1:] != at_risk.shape:
        raise ValueError(f"events {events.shape} does not fit at_risk {at_risk.shape}")
    if days.shape != at_risk.shape[-1:] or (np.diff(days) <= 0).any():
        raise ValueError("days: one ascending day for each column of at_risk")
    if (events < 0).any() or (events.sum(axis=-2) > at_risk * (1 + 1e-9)).any():
        raise ValueError("events: a count is negative, or more animals end on a day than are at risk")
    return days, at_risk, events


def _hazard(ending, at_risk):
    hazard = divide(ending, at_risk, 0.0)
    # Weights sum to the number at risk only to within rounding; a sliver of 1e-16 animals must not live on.
    return np.where(hazard > 1 - 1e-12, 1.0, hazard)
