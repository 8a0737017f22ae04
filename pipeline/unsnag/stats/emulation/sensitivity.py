"""What if? The same comparison without a clinic, without some cases, or with another fate for those lost from sight."""

from dataclasses import replace

import numpy as np

from .compare import tidy
from .person_days import ENDINGS
from .trial import estimate

RELEASED, DIED = "released", "died"


def without_each_clinic(trial):
    """Untruncated differences from the first strategy with one clinic left out at a time.

    Returns frame: clinic (the one left out), by, group, strategy, measure, difference
    """
    clinics = trial.days.cases["clinic"].to_numpy()
    left_out = sorted(set(clinics))
    values = np.array([differences(trial, clinics != each) for each in left_out])
    return tidy({"difference": values}, trial.groups, _later(trial), clinic=left_out)


def differences(trial, kept=None):
    """Untruncated differences from the first strategy.

    kept    : bool array (n,), cases that count; None: all
    Returns   float array (groups, strategies - 1, measures)
    """
    values = estimate(trial, None if kept is None else kept.astype(int), (1.0,))[0]
    return values[:, 1:] - values[:, :1]


def in_care_at_the_end(days):
    """Cases whose records stop before the horizon while they are in care, bool array (n,)."""
    return (days.ending < 0) & ~days.lost & (days.end_day < days.horizon)


def without_known_ending(days):
    """Cases without a known ending by the horizon, bool array (n,): lost from sight, or in care at the end."""
    return days.lost | in_care_at_the_end(days)


def as_if_ended(trial, cases, ending):
    """The trial as it would be if some cases had ended on the day on which they were last seen.

    cases  : bool array (n,); a lost case that is not among them stays lost
    ending : one of ENDINGS
    Returns  Trial; without a model of loss if nobody is lost any more
    """
    days = trial.days
    lost = days.lost & ~cases
    ended = replace(days, ending=np.where(cases, ENDINGS.index(ending), days.ending), lost=lost)
    return replace(trial, days=ended, loss=trial.loss if lost.any() else None)


def scenarios(trial, left_out=None):
    """Untruncated differences from the first strategy, as planned and under other suppositions.

    left_out : dict of scenario name to bool array (n,), cases left out under it; None: no such scenario
    Returns    frame: scenario, by, group, strategy, measure, difference. Scenarios: planned; lost_released, lost_died,
               open_released, open_died (open: lost, or in care when the records stop); least and most: the open ones
               ended one way under this strategy and the other way under the first; then those of ``left_out``.
    """
    lost, unknown = trial.days.lost, without_known_ending(trial.days)
    found = {"planned": differences(trial)}
    for name, cases in (("lost", lost), ("open", unknown)):
        for ending in (RELEASED, DIED):
            found[f"{name}_{ending}"] = differences(as_if_ended(trial, cases, ending))
    found |= _bounds(trial, unknown)
    found |= {name: differences(trial, ~cases) for name, cases in (left_out or {}).items()}
    return tidy(
        {"difference": np.array(list(found.values()))}, trial.groups, _later(trial), scenario=list(found)
    )


def _bounds(trial, cases):
    """Least and most: what an ending gives to a strategy, it withholds from the first."""
    both = [estimate(as_if_ended(trial, cases, ending), quantiles=(1.0,))[0] for ending in (RELEASED, DIED)]
    lowest, highest = np.min(both, axis=0), np.max(both, axis=0)
    return {"least": lowest[:, 1:] - highest[:, :1], "most": highest[:, 1:] - lowest[:, :1]}


def _later(trial):
    return [each.name for each in trial.strategies[1:]]
