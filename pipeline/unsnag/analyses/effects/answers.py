"""One planned comparison from selection to verdict."""

import os
from dataclasses import dataclass, field

import numpy as np
import pandas as pd

from unsnag.analyses.effects.bias import biased_beside
from unsnag.analyses.effects.selection import confounders, select
from unsnag.stats.emulation import diagnostics
from unsnag.stats.emulation.compare import compare, without_each_clinic
from unsnag.stats.emulation.facts import OUTCOMES, outcome_facts, strategy_facts
from unsnag.stats.emulation.person_days import ENDINGS, person_days
from unsnag.stats.emulation.trial import clone_weights, prepare, strategy_curves
from unsnag.stats.emulation.weights import last_weight

WORTH_A_POOL = 1_000_000  # animals times replicates: below it, starting processes costs more than it saves
SMALLEST = 20  # below this no weights are fitted: the answer is "too few" whatever the floors say


@dataclass
class Answer:
    """What was found for one question; frames lack the verdict until all p values are known."""

    question: object
    floors: object
    flow: list
    rows: list = field(default_factory=list)
    bias: list = field(default_factory=list)
    curves: list = field(default_factory=list)
    balance: list = field(default_factory=list)


def answer(mart, planned, question):
    """Emulate the trial of one question, for all its animals and by each feature that it names."""
    chosen = select(mart, question)
    found = Answer(question, question.floors or planned.floors, chosen.flow)
    if len(chosen.cases) < SMALLEST:
        return found
    days = person_days(chosen.cases, chosen.events, question.horizon_days)
    if not (days.retrieval_day <= days.end_day).any():
        return found
    strategies = {each.name: each.settings for each in question.strategy}
    adjusted = confounders(question, chosen.cases)
    for by in (None, *(name for name in question.effect_by if chosen.cases[name].nunique() > 1)):
        trial = prepare(days, strategies, adjusted, by)
        found.rows += compared(trial, planned.resampling, by or "all", question)
        if by is None:
            _describe(found, trial)
    found.bias = biased_beside(days, question, adjusted, found.rows)
    return found


def compared(trial, resampling, by, question):
    """Rows of one trial: every later strategy against the first, in each group, on each measure."""
    large = len(trial.days.cases) * resampling.replicates > WORTH_A_POOL
    workers = (os.cpu_count() or 1) if large else 1
    comparison = compare(trial, resampling.replicates, resampling.seed, workers)
    left_out = without_each_clinic(trial)
    whole = comparison.differences.query("truncation == 1.0")
    if by != "all":
        whole = whole[whole["group"] != "all"]
    rows = []
    for (group, strategy), measures in whole.groupby(["group", "strategy"], sort=False):
        shared = strategy_facts(trial, group, strategy)
        for row in measures.itertuples():
            outcome = row.measure if row.measure in OUTCOMES else "died_or_euthanased"
            facts = shared | outcome_facts(trial, comparison, left_out, group, strategy, outcome)
            rows.append(_row(trial, comparison, by, question, row, facts))
    return rows


def _row(trial, comparison, by, question, row, facts):
    reference = trial.strategies[0].name
    scale = 100 if row.measure in OUTCOMES else 1
    estimates = comparison.estimates.query(
        "truncation == 1.0 and group == @row.group and measure == @row.measure"
    )
    value = estimates.set_index("strategy")["estimate"]
    cut = comparison.differences.query(
        "truncation != 1.0 and group == @row.group and strategy == @row.strategy and measure == @row.measure"
    )
    return {
        "question": question.name,
        "effect_by": by,
        "group": row.group,
        "asks": question.asks,
        "strategy": row.strategy,
        "reference": reference,
        "measure": row.measure,
        "horizon_days": question.horizon_days,
        "eligible": int(trial.members[trial.groups.index(row.group)].sum()),
        "reference_estimate": scale * value[reference],
        "strategy_estimate": scale * value[row.strategy],
        "difference": scale * row.estimate,
        "low": scale * row.low,
        "high": scale * row.high,
        "difference_truncated": scale * cut["estimate"].iloc[0],
        "p": row.p,
        "facts": facts,
    }


def _describe(found, trial):
    """Curves, flow and balance of the strategies in all eligible animals."""
    names = [each.name for each in trial.strategies]
    weights = dict(zip(names, clone_weights(trial), strict=True))
    curves = strategy_curves(trial)[0]
    for name, curve in zip(names, curves, strict=True):
        found.curves += [
            (found.question.name, name, ending, day, 100 * curve[day, code])
            for code, ending in enumerate(ENDINGS)
            for day in range(len(curve))
        ]
        last = last_weight(weights[name], trial.days.end_day)
        table = diagnostics.balance(trial.days.cases, trial.confounders, last)
        for row in table.itertuples():
            before_and_after = (row.difference_before, row.difference_after)
            found.balance.append((found.question.name, name, row.covariate, *before_and_after))
    for row in diagnostics.flow(trial.days, weights).itertuples():
        found.flow.append((f"stayed in: {row.strategy}", int(row.stayed)))


def no_row(found):
    """What is said of a question that could not be emulated at all: the counts and "too few"."""
    eligible = found.flow[-1][1]
    blank = dict.fromkeys(
        ("reference_estimate", "strategy_estimate", "difference", "low", "high", "difference_truncated", "p"),
        np.nan,
    )
    facts = {"events": 0, "effective_size": 0.0, "clinics": 0, "clinics_with_both": 0, "told_apart": True}
    question = found.question
    return [
        {
            "question": question.name, "effect_by": "all", "group": "all", "asks": question.asks,
            "strategy": each.name, "reference": question.strategy[0].name, "measure": measure,
            "horizon_days": question.horizon_days, "eligible": eligible, **blank, "facts": facts,
        }
        for each in question.strategy[1:]
        for measure in OUTCOMES
    ]  # fmt: skip


def as_frame(rows, columns):
    """Rows as a frame with the columns of the table."""
    return pd.DataFrame(rows, columns=list(columns))
