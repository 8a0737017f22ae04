"""From a prepared trial to the tables of a planned comparison: estimates, differences, ratios, interactions."""

from dataclasses import dataclass
from functools import partial

import numpy as np
import pandas as pd

from .bootstrap import case_counts, percentile_interval, replicate, two_sided_p
from .curves import MEASURES
from .diagnostics import effective_size
from .trial import estimate, final_weights

CHANCES = MEASURES[:2]
QUANTILES = (1.0, 0.99)


@dataclass(frozen=True)
class Comparison:
    """Frames with truncation, by, group, strategy, measure, estimate, low, high; all but estimates also p.

    estimates    : chances as fractions, restricted means as days
    differences  : each later strategy minus the first
    ratios       : each later strategy over the first, chances only
    interactions : the difference in each later level of a feature minus that in its first; empty without groups
    """

    estimates: pd.DataFrame
    differences: pd.DataFrame
    ratios: pd.DataFrame
    interactions: pd.DataFrame


def compare(trial, replicates=500, seed=1, workers=1, quantiles=QUANTILES):
    """Compare every strategy with the first, with 95 % percentile limits over cases within clinics, expanded for few.

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
    sizes = effective_sizes(trial)
    smaller = np.minimum(sizes[:, 1:], sizes[:, :1])
    table = partial(_table, quantiles)
    return Comparison(
        estimates=table(trial.groups, names, MEASURES, both, sizes).drop(columns="p"),
        differences=table(trial.groups, names[1:], MEASURES, difference, smaller),
        ratios=table(trial.groups, names[1:], CHANCES, ratio, smaller, none=1.0),
        interactions=_interactions(trial.groups, difference, smaller, partial(table, strategies=names[1:])),
    )


def effective_sizes(trial):
    """How many animals of equal weight each strategy's figures rest on, float array (groups, strategies)."""
    weights = final_weights(trial).values()
    return np.array([[effective_size(each[member]) for each in weights] for member in trial.members])


def _interactions(groups, difference, sizes, table):
    """The difference of each later level of a feature less that of its first level."""
    firsts = {by: place for place, (by, _) in reversed(list(enumerate(groups)))}
    later = [place for place, (by, _) in enumerate(groups) if place != firsts[by]]
    first = [firsts[groups[place][0]] for place in later]
    from_first = difference[:, :, later] - difference[:, :, first]
    smaller = np.minimum(sizes[later], sizes[first])
    return table([groups[place] for place in later], measures=MEASURES, both=from_first, sizes=smaller)


def _table(quantiles, groups, strategies, measures, both, sizes, none=0.0):
    """sizes: effective sizes (groups, strategies)."""
    sizes = sizes[..., None]
    low, high = percentile_interval(both[1:], effective_size=sizes)
    columns = {"estimate": both[0], "low": low, "high": high, "p": two_sided_p(both[1:] - none, sizes)}
    return tidy(columns, groups, strategies, measures, truncation=quantiles)


def tidy(columns, groups, strategies, measures=MEASURES, **first):
    """Arrays as a frame with one row a cell.

    columns  : dict of name to array (..., groups, strategies, measures)
    groups   : (feature, level) pairs
    first    : the name of the leading axis with its values, if there is one
    """
    axes = {**first, "pair": range(len(groups)), "strategy": strategies, "measure": measures}
    index = pd.MultiIndex.from_product(axes.values(), names=axes)
    frame = pd.DataFrame({name: np.ravel(each) for name, each in columns.items()}, index=index).reset_index()
    pairs = np.array(groups, dtype=object).reshape(-1, 2)[frame["pair"]]
    frame = frame.assign(by=pairs[:, 0], group=pairs[:, 1])
    return frame[[*first, "by", "group", "strategy", "measure", *columns]]
