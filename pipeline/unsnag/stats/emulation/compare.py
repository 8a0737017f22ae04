"""From a prepared trial to the tables of a planned comparison: estimates, differences, ratios, interactions."""

from dataclasses import dataclass, replace
from functools import partial

import numpy as np
import pandas as pd

from .bootstrap import case_counts, percentile_interval, replicate, two_sided_p
from .curves import MEASURES
from .person_days import ENDINGS
from .trial import estimate

CHANCES = MEASURES[:2]
QUANTILES = (1.0, 0.99)


@dataclass(frozen=True)
class Comparison:
    """Frames with truncation, group, strategy, measure, estimate, low, high; all but estimates also p.

    estimates    : chances as fractions, restricted means as days
    differences  : each later strategy minus the first
    ratios       : each later strategy over the first, chances only
    interactions : the difference in each later group minus that in the first group; empty without groups
    """

    estimates: pd.DataFrame
    differences: pd.DataFrame
    ratios: pd.DataFrame
    interactions: pd.DataFrame


def compare(trial, replicates=500, seed=1, workers=1, quantiles=QUANTILES):
    """Compare every strategy with the first, with 95 % percentile limits over cases within clinics.

    trial      : Trial
    replicates : int; seed : int; workers : processes, on which the result does not depend
    quantiles  : truncation of weights, 1.0 meaning none
    Returns      Comparison
    """
    counts = case_counts(trial.days.cases["clinic"], replicates, seed)
    values = estimate(trial, quantiles=quantiles)
    draws = replicate(partial(estimate, trial, quantiles=quantiles), counts, workers)
    both = np.concatenate([values[None], draws])  # the estimate itself, then its resamplings
    difference = both[..., 1:, :] - both[..., :1, :]
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = both[..., 1:, :2] / both[..., :1, :2]
    names = [each.name for each in trial.strategies]
    table = partial(_table, quantiles)
    return Comparison(
        estimates=table(trial.groups, names, MEASURES, both).drop(columns="p"),
        differences=table(trial.groups, names[1:], MEASURES, difference),
        ratios=table(trial.groups, names[1:], CHANCES, ratio, none=1.0),
        interactions=table(
            trial.groups[2:], names[1:], MEASURES, difference[:, :, 2:] - difference[:, :, 1:2]
        ),
    )


def _table(quantiles, groups, strategies, measures, both, none=0.0):
    low, high = percentile_interval(both[1:])
    names = ["truncation", "group", "strategy", "measure"]
    index = pd.MultiIndex.from_product([quantiles, groups, strategies, measures], names=names)
    columns = {"estimate": both[0], "low": low, "high": high, "p": two_sided_p(both[1:] - none)}
    return pd.DataFrame({name: values.ravel() for name, values in columns.items()}, index=index).reset_index()


def without_each_clinic(trial):
    """Untruncated differences from the first strategy with one clinic left out at a time.

    Returns frame: clinic (the one left out), group, strategy, measure, difference
    """
    clinics = trial.days.cases["clinic"].to_numpy()
    left_out = sorted(set(clinics))
    values = np.array([estimate(trial, (clinics != each).astype(int), (1.0,))[0] for each in left_out])
    difference = values[:, :, 1:] - values[:, :, :1]
    strategies = [each.name for each in trial.strategies[1:]]
    names = ["clinic", "group", "strategy", "measure"]
    index = pd.MultiIndex.from_product([left_out, trial.groups, strategies, MEASURES], names=names)
    return pd.DataFrame({"difference": difference.ravel()}, index=index).reset_index()


def loss_bounds(trial):
    """Untruncated differences from the first strategy if lost cases had ended in the best or the worst way.

    A case lost on a day is taken to have been released, or to have died, on that day, one way in this strategy and
    the other way in the first. Beside censoring weights; instead of them if losses were too few for a model.
    Returns frame: group, strategy, measure, low, high
    """
    kinds = [_as_if_ended(trial, kind) for kind in ("released", "died")]
    values = np.array([estimate(each, quantiles=(1.0,))[0] for each in kinds])
    least, most = values.min(axis=0), values.max(axis=0)
    strategies = [each.name for each in trial.strategies[1:]]
    names = ["group", "strategy", "measure"]
    index = pd.MultiIndex.from_product([trial.groups, strategies, MEASURES], names=names)
    low, high = least[:, 1:] - most[:, :1], most[:, 1:] - least[:, :1]
    return pd.DataFrame({"low": low.ravel(), "high": high.ravel()}, index=index).reset_index()


def _as_if_ended(trial, kind):
    days = trial.days
    ending = np.where(days.lost, ENDINGS.index(kind), days.ending)
    return replace(trial, days=replace(days, ending=ending, lost=np.zeros_like(days.lost)), loss=None)
