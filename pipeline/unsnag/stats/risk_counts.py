"""Compact counts: how many animals were at risk on each day, and how many ended, by group and cause.

Everything about time in this package is computed from these counts, so its cost grows with days x groups, not
with cases, and SQL may count instead of Python.
"""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class RiskCounts:
    """Animals at risk and ending, by group, cause and day.

    days    : int array (k,), ascending, every day on which a stay ended or was last seen
    groups  : array (g,), sorted labels
    causes  : tuple of c endings that compete
    at_risk : float array (g, k), animals in care on the day, those who end on it included
    events  : float array (g, c, k), endings on the day
    """

    days: np.ndarray
    groups: np.ndarray
    causes: tuple
    at_risk: np.ndarray
    events: np.ndarray


def risk_counts(stay_days, ending, causes, group=None, entry_days=None, weights=None):
    """Count animals at risk and endings by day and group, ties and same-day endings exact.

    A stay that begins to be observed late (entry_days > 0) is at risk from its entry day on, that day
    included, as an animal admitted on day 0 can end on day 0. Any ending not among ``causes`` is a censoring,
    which leaves after the endings of its day.

    stay_days  : int array (n,), whole days from admission to ending or last sight, >= 0
    ending     : str array (n,), how the stay ended; "" if still in care
    causes     : sequence of the endings that compete, e.g. ("released", "died", "euthanased")
    group      : array (n,), labels; one group if left out
    entry_days : int array (n,), first day under observation, 0 <= entry <= stay; 0 if left out
    weights    : float array (n,), >= 0; 1 if left out
    Returns     RiskCounts
    Raises      ValueError: lengths differ, a stay is negative, an entry is after its stay, a cause doubled
    """
    stay_days, entry_days = _checked_days(stay_days, entry_days)
    size = len(stay_days)
    ending = _of_length("ending", ending, size)
    weights = np.ones(size) if weights is None else _of_length("weights", weights, size).astype(float)
    if (weights < 0).any() or np.isnan(weights).any():
        raise ValueError("weights: a weight is negative or missing")
    groups, of_group = _groups(group, size)
    days, of_day = np.unique(stay_days, return_inverse=True)
    shape = (len(groups), len(days))
    events = [_sums(of_group, of_day, weights * (ending == cause), shape) for cause in _distinct(causes)]
    at_risk = _at_risk(of_group, of_day, np.searchsorted(days, entry_days), weights, shape)
    return RiskCounts(days, groups, tuple(causes), at_risk, np.stack(events, axis=1))


def at_risk_from_flows(entering, leaving):
    """Animals at risk on each day, from those who came under observation and those who left.

    entering : array (..., k), animals first at risk on the day
    leaving  : array (..., k), animals last at risk on the day, whatever the reason
    Returns     float array (..., k)
    Raises      ValueError: more animals leave than have entered
    """
    entering, leaving = np.asarray(entering, dtype=float), np.asarray(leaving, dtype=float)
    at_risk = np.cumsum(entering, axis=-1) - np.cumsum(leaving, axis=-1) + leaving
    if (at_risk < leaving - 1e-9).any():
        raise ValueError("leaving: more animals leave on a day than are at risk")
    return at_risk


def _groups(group, size):
    if group is None:
        return np.array(["all"]), np.zeros(size, dtype=int)
    return np.unique(_of_length("group", group, size), return_inverse=True)


def _at_risk(of_group, of_day, of_entry, weights, shape):
    leaving = _sums(of_group, of_day, weights, shape)
    late = _sums(of_group, of_entry, weights * (of_entry > 0), shape)
    # Summed from the last day backwards: weights then never cancel to a risk set of 1e-16 animals.
    still_to_leave = np.cumsum(leaving[:, ::-1], axis=1)[:, ::-1]
    still_to_enter = np.cumsum(late[:, ::-1], axis=1)[:, ::-1] - late
    return still_to_leave - still_to_enter


def _sums(rows, columns, weights, shape):
    cells = np.bincount(rows * shape[1] + columns, weights=weights, minlength=shape[0] * shape[1])
    return cells.reshape(shape)


def _checked_days(stay_days, entry_days):
    stay_days = np.asarray(stay_days)
    entry_days = np.zeros_like(stay_days) if entry_days is None else np.asarray(entry_days)
    if stay_days.ndim != 1 or entry_days.shape != stay_days.shape:
        raise ValueError(f"entry_days: {entry_days.shape} does not match stay_days {stay_days.shape}")
    if np.isnan(stay_days.astype(float)).any() or (stay_days < 0).any():
        raise ValueError("stay_days: a stay is negative or missing")
    if not ((entry_days >= 0) & (entry_days <= stay_days)).all():
        raise ValueError("entry_days: an entry is negative, missing or after the end of its stay")
    return stay_days, entry_days


def _of_length(name, values, size):
    values = np.asarray(values)
    if values.shape != (size,):
        raise ValueError(f"{name}: {values.shape} does not match {size} stays")
    return values


def _distinct(causes):
    if len(set(causes)) != len(causes) or not len(causes):
        raise ValueError("causes: name each competing ending once, and at least one")
    return causes
