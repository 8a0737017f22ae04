"""What stands beside an answer: curves, flow, balance and weights of the strategies in all eligible animals."""

import numpy as np

from unsnag.stats.emulation import diagnostics
from unsnag.stats.emulation.person_days import ENDINGS, NEVER
from unsnag.stats.emulation.trial import clone_weights, strategy_curves
from unsnag.stats.emulation.weights import last_weight


def describe(found, trial):
    """Fill in an Answer's curves, balance, weights, and the last steps of its flow."""
    question, days = found.question.name, trial.days
    names = [each.name for each in trial.strategies]
    weights = dict(zip(names, clone_weights(trial), strict=True))
    for name, curve in zip(names, strategy_curves(trial)[0], strict=True):
        last = last_weight(weights[name], days.end_day)
        found.curves += _curve_rows(question, name, curve)
        found.balance += _balance_rows(question, name, trial, last)
        found.weights += _weight_rows(question, name, days, last)
    for row in diagnostics.flow(days, weights).itertuples():
        found.flow.append((f"stayed in: {row.strategy}", int(row.stayed)))


def _curve_rows(question, strategy, curve):
    return [
        (question, strategy, ending, day, 100 * curve[day, code])
        for code, ending in enumerate(ENDINGS)
        for day in range(len(curve))
    ]


def _balance_rows(question, strategy, trial, last):
    table = diagnostics.balance(trial.days.cases, trial.confounders, last)
    return [
        (question, strategy, row.covariate, row.difference_before, row.difference_after)
        for row in table.itertuples()
    ]


def _weight_rows(question, strategy, days, last):
    """One row a case: how many animals it stands for under the strategy, 0 if it left it."""
    ending = np.array([*ENDINGS, ""])[days.ending]
    treated = [int(day) if day < NEVER else None for day in days.retrieval_day]
    columns = days.cases["case"], treated, days.end_day.tolist(), ending.tolist(), last.tolist()
    return [(question, strategy, *cells) for cells in zip(*columns, strict=True)]
