"""From a prepared trial to the table of a planned comparison: differences, limits, facts for the verdict."""

from functools import partial

import numpy as np
import pandas as pd

from . import diagnostics
from .bootstrap import case_counts, percentile_interval, replicate, two_sided_p
from .curves import MEASURES
from .evalue import e_value
from .strategies import retrieval_target
from .trial import clone_weights, estimate
from .weights import last_weight

QUANTILES = (1.0, 0.99)


def compare(trial, replicates=500, seed=1, workers=1, quantiles=QUANTILES):
    """Estimates of every strategy and differences from the first, with percentile limits.

    trial      : Trial
    replicates : int; seed : int; workers : processes, the result does not depend on them
    quantiles  : truncation of weights, 1.0 meaning none
    Returns      estimates: frame truncation, group, strategy, measure, estimate, low, high
                 differences: the same, strategy minus the first, with p; chances as fractions, days as days
                 interactions: the differences of each group minus those of the first group, with p (empty if no groups)
    """
    counts = case_counts(trial.days.cases["clinic"], replicates, seed)
    point = estimate(trial, quantiles=quantiles)
    draws = replicate(partial(estimate, trial, quantiles=quantiles), counts, workers)
    names = [each.name for each in trial.strategies]
    difference, difference_draws = (each[..., 1:, :] - each[..., :1, :] for each in (point, draws))
    apart, apart_draws = (each[..., 2:, :, :] - each[..., 1:2, :, :] for each in (difference, difference_draws))
    return (
        _table(point, draws, quantiles, trial.groups, names).drop(columns="p"),
        _table(difference, difference_draws, quantiles, trial.groups, names[1:]),
        _table(apart, apart_draws, quantiles, trial.groups[2:], names[1:]),
    )


def _table(point, draws, quantiles, groups, strategies):
    low, high = percentile_interval(draws)
    axes = [quantiles, groups, strategies, MEASURES]
    index = pd.MultiIndex.from_product(axes, names=["truncation", "group", "strategy", "measure"])
    columns = {"estimate": point, "low": low, "high": high, "p": two_sided_p(draws)}
    return pd.DataFrame({name: values.ravel() for name, values in columns.items()}, index=index).reset_index()


def without_each_clinic(trial):
    """Untruncated differences from the first strategy with one clinic left out at a time.

    Returns frame: clinic (the one left out), strategy, measure, difference
    """
    clinics = trial.days.cases["clinic"].to_numpy()
    left_out = sorted(set(clinics))
    values = [estimate(trial, (clinics != each).astype(int), (1.0,))[0, 0] for each in left_out]
    difference = np.array([value[1:] - value[:1] for value in values])
    names = [each.name for each in trial.strategies[1:]]
    index = pd.MultiIndex.from_product([left_out, names, MEASURES], names=["clinic", "strategy", "measure"])
    return pd.DataFrame({"difference": difference.ravel()}, index=index).reset_index()
