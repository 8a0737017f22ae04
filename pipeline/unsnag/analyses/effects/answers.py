"""One planned comparison from selection to what the verdict rests on."""

import os
from dataclasses import dataclass, field

import numpy as np
import pandas as pd

from unsnag.analyses.effects.bias import biased_beside
from unsnag.analyses.effects.describe import describe
from unsnag.analyses.effects.selection import confounders, select
from unsnag.stats.emulation.compare import compare
from unsnag.stats.emulation.facts import OUTCOMES, Others, outcome_facts, strategy_facts
from unsnag.stats.emulation.person_days import person_days
from unsnag.stats.emulation.sensitivity import scenarios, without_each_clinic, without_known_ending
from unsnag.stats.emulation.trial import prepare

WORTH_A_POOL = 1_000_000  # animals times replicates: below it, starting processes costs more than it saves
SMALLEST = 20  # below this no weights are fitted: the answer is "too few" whatever the floors say
CELL = ["by", "group", "strategy", "measure"]


@dataclass
class Answer:
    """What was found for one question; the rows lack the verdict until all p values are known."""

    question: object
    floors: object
    flow: list
    rows: list = field(default_factory=list)
    interactions: list = field(default_factory=list)
    sensitivity: list = field(default_factory=list)
    bias: list = field(default_factory=list)
    curves: list = field(default_factory=list)
    balance: list = field(default_factory=list)
    weights: list = field(default_factory=list)


def answer(mart, planned, question):
    """Emulate the trial of one question, for all its animals and by each feature that it names."""
    chosen = select(mart, question)
    found = Answer(question, question.floors or planned.floors, chosen.flow)
    if len(chosen.cases) < SMALLEST:
        return found
    days = person_days(chosen.cases, chosen.events, question.horizon_days)
    if not (days.retrieval_day <= days.end_day).any():
        return found
    adjusted = confounders(question, chosen.cases)
    by = tuple(name for name in question.effect_by if chosen.cases[name].nunique() > 1)
    strategies = {each.name: each.settings for each in question.strategy}
    trial = prepare(days, strategies, adjusted, by)
    _compare(found, trial, planned.resampling)
    describe(found, trial)
    found.bias = biased_beside(days, question, adjusted, found.rows, planned.resampling)
    return found


def _compare(found, trial, resampling):
    """Fill in rows, interactions and sensitivity: every later strategy against the first, in each group."""
    large = len(trial.days.cases) * resampling.replicates > WORTH_A_POOL
    workers = (os.cpu_count() or 1) if large else 1
    comparison = compare(trial, resampling.replicates, resampling.seed, workers)
    others = Others(without_each_clinic(trial), scenarios(trial, _left_out(trial)))
    for (by, group, strategy), measures in _wide(trial, comparison).groupby(CELL[:3], sort=False):
        shared = strategy_facts(trial, (by, group), strategy)
        for row in measures.itertuples():
            outcome = row.measure if row.measure in OUTCOMES else OUTCOME_OF_DAYS[row.measure]
            facts = shared | outcome_facts(trial, comparison, others, (by, group), strategy, outcome)
            found.rows.append(_row(trial, found.question, row, facts))
    found.interactions = _interactions(trial, found.question, comparison.interactions)
    found.sensitivity = _sensitivity(trial, found.question, others)


OUTCOME_OF_DAYS = {"days_free": "released", "days_lost": "died_or_euthanased"}


def _left_out(trial):
    """Cases of which a tackle axis, procedure, finding or ending came from notes, once the records say so."""
    cases = trial.days.cases
    if "is_from_notes" not in cases or not cases["is_from_notes"].any():
        return {}
    return {"without_notes": cases["is_from_notes"].to_numpy(bool)}


def _wide(trial, comparison):
    """Untruncated differences with what they are the difference of, and the truncated ones beside them."""
    plain = comparison.differences["truncation"] == 1.0
    cut = comparison.differences[~plain][[*CELL, "estimate"]].rename(columns={"estimate": "truncated"})
    values = comparison.estimates[comparison.estimates["truncation"] == 1.0][[*CELL, "estimate"]]
    first = values[values["strategy"] == trial.strategies[0].name].drop(columns="strategy")
    return (
        comparison.differences[plain]
        .merge(values.rename(columns={"estimate": "value"}), on=CELL, how="left", validate="1:1")
        .merge(first.rename(columns={"estimate": "reference"}), on=["by", "group", "measure"], how="left")
        .merge(cut, on=CELL, how="left", validate="1:1")
    )


def _scale(measure):
    """Chances are told in percent, restricted means in days."""
    return 100 if measure in OUTCOMES else 1


def _row(trial, question, row, facts):
    scale = _scale(row.measure)
    return {
        "question": question.name,
        "effect_by": row.by,
        "group": row.group,
        "asks": question.asks,
        "strategy": row.strategy,
        "reference": trial.strategies[0].name,
        "measure": row.measure,
        "horizon_days": question.horizon_days,
        "eligible": int(trial.members[trial.groups.index((row.by, row.group))].sum()),
        "reference_estimate": scale * row.reference,
        "strategy_estimate": scale * row.value,
        "difference": scale * row.estimate,
        "low": scale * row.low,
        "high": scale * row.high,
        "difference_truncated": scale * row.truncated,
        "p": row.p,
        "facts": facts,
    }


def _interactions(trial, question, frame):
    """How much more the difference is in a level than in the first level of its feature."""
    frame = frame[frame["truncation"] == 1.0]
    first = dict(reversed(trial.groups))
    scale = frame["measure"].map(_scale)
    columns = {"question": question.name, "effect_by": frame["by"], "group": frame["group"]}
    columns |= {"compared_group": frame["by"].map(first), "strategy": frame["strategy"]}
    columns |= {"reference": trial.strategies[0].name, "measure": frame["measure"]}
    columns |= {
        "difference": scale * frame["estimate"],
        "low": scale * frame["low"],
        "high": scale * frame["high"],
    }
    return list(pd.DataFrame(columns | {"p": frame["p"]}).itertuples(index=False, name=None))


def _sensitivity(trial, question, others):
    """Rows of effect_sensitivity: all eligible animals, both outcomes, every supposition."""
    left_out = others.without_clinics.groupby([*CELL], sort=False)["difference"]
    extremes = pd.concat(
        [left_out.agg(how).reset_index().assign(scenario=f"clinic_left_out_{how}") for how in ("min", "max")]
    )
    frame = pd.concat([others.scenarios, extremes])
    frame = frame[(frame["by"] == "all") & frame["measure"].isin(list(OUTCOMES))]
    changed = _changed(trial)
    return [
        (question.name, row.strategy, trial.strategies[0].name, row.measure, row.scenario,
         changed.get(row.scenario.partition("_")[0], 0), 100 * row.difference)
        for row in frame.itertuples()
    ]  # fmt: skip


def _changed(trial):
    """How many animals a supposition changes or leaves out, by the first word of its name."""
    unknown = int(without_known_ending(trial.days).sum())
    from_notes = sum(int(cases.sum()) for cases in _left_out(trial).values())
    lost = int(trial.days.lost.sum())
    return {"lost": lost, "open": unknown, "least": unknown, "most": unknown, "without": from_notes}


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
