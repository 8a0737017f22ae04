"""The facts about one comparison on which the verdict's written rules are applied."""

from dataclasses import dataclass

import numpy as np
import pandas as pd

from . import diagnostics
from .design import as_levels, is_factor
from .evalue import e_value
from .person_days import ENDINGS
from .positivity import hardly_followed
from .trial import final_weights

# Suppositions under which a result must not turn round; those that were not made count as not turning it.
TURNING = {
    "sign_changes_by_open_cases": ("open_released", "open_died"),
    "sign_changes_without_notes": ("without_notes",),
}
OUTCOMES = {"released": ("released",), "died_or_euthanased": ("died", "euthanased")}


def comparison_facts(trial, comparison, others, group, strategy, measure):
    """Facts of one strategy against the first, for verdict.judge.

    comparison      : Comparison
    others          : Others
    group, strategy : (feature, level) and name, as in the frames
    measure         : "released" or "died_or_euthanased"
    Returns           dict of the names in verdict.FLOORS and verdict.DOUBTS, and told_apart bool
    """
    return strategy_facts(trial, group, strategy) | outcome_facts(
        trial, comparison, others, group, strategy, measure
    )


def strategy_facts(trial, group, strategy):
    """The facts that are the same for every outcome; arguments as above. They cost most: ask once a strategy."""
    pair, member = _pair(trial, group, strategy)
    compared = [trial.strategies[0], *(each for each in trial.strategies if each.name == strategy)]
    return (
        support_facts(trial, pair, member)
        | weight_facts(trial, pair, member)
        | {"hardly_followed": max(hardly_followed(trial, each, member) for each in compared)}
    )


@dataclass(frozen=True)
class Others:
    """Frames of the same comparison done otherwise, as sensitivity.py makes them."""

    without_clinics: pd.DataFrame
    scenarios: pd.DataFrame


def outcome_facts(trial, comparison, others, group, strategy, measure):
    """The facts that depend on the outcome; arguments as above."""
    pair, member = _pair(trial, group, strategy)
    chosen = {"by": group[0], "group": group[1], "strategy": strategy, "measure": measure}
    planned = _only(comparison.differences, chosen)["estimate"]
    return (
        {"events": events_seen(trial, pair, member, measure)}
        | {"truncation_shift": float(np.ptp(planned))}
        | {"sign_changes_without_a_clinic": _turned(_only(others.without_clinics, chosen), planned.iloc[0])}
        | _turned_by_scenario(_only(others.scenarios, chosen), planned.iloc[0])
        | {"e_value_limit": _e_value_limit(_only(comparison.ratios, chosen))}
    )


def _turned(frame, planned):
    """How many of the differences in a frame point another way than the planned one."""
    return int((np.sign(frame["difference"]) != np.sign(planned)).sum())


def _turned_by_scenario(frame, planned):
    return {
        fact: _turned(frame[frame["scenario"].isin(scenarios)], planned)
        for fact, scenarios in TURNING.items()
    }


def _pair(trial, group, strategy):
    """Final weights (n,) of the first strategy and of another, and which cases are in the group."""
    weights = final_weights(trial)
    return [weights[trial.strategies[0].name], weights[strategy]], trial.members[trial.groups.index(group)]


def events_seen(trial, pair, member, measure):
    """The smaller number of outcomes among cases that stayed in one strategy and not in the other.

    The rest say nothing about the difference.
    pair    : final weights (n,) of both; member : bool array (n,), cases looked at
    """
    first, second = diagnostics.tells_apart(*pair)
    codes = [ENDINGS.index(each) for each in OUTCOMES[measure]]
    outcome = np.isin(trial.days.ending, codes) & member
    return min(int((outcome & first).sum()), int((outcome & second).sum()))


def support_facts(trial, pair, member):
    """Where both strategies are seen: clinics, clinics_with_both, told_apart, lost_share; arguments as above."""
    days = trial.days
    first, second = diagnostics.tells_apart(*pair)
    clinic = _support(days, "clinic", first, second, member)
    factors = [name for name in trial.confounders if name != "clinic" and is_factor(days.cases[name])]
    tables = [_support(days, name, first, second, member) for name in factors]
    return {
        "clinics": len(clinic),
        "clinics_with_both": int(clinic["both_seen"].sum()),
        "told_apart": not any(diagnostics.cannot_be_told_apart(table) for table in tables),
        "lost_share": float(days.lost[member].mean()),
    }


def _support(days, name, first, second, member):
    return diagnostics.support(as_levels(days.cases[name])[member], first[member], second[member])


def weight_facts(trial, pair, member):
    """The worse of two strategies' figures: effective_size, heaviest_share, worst_balance; arguments as above."""
    cases = trial.days.cases[member]
    ranges = [diagnostics.weight_range(weight[member]) for weight in pair]
    tables = [diagnostics.balance(cases, trial.confounders, weight[member]) for weight in pair]
    return {
        "effective_size": min(each["effective_size"] for each in ranges),
        "heaviest_share": max(each["heaviest_share"] for each in ranges),
        "worst_balance": max(table["difference_after"].abs().max(skipna=False) for table in tables),
    }


def _only(frame, chosen):
    return frame[np.logical_and.reduce([frame[name] == value for name, value in chosen.items()])]


def _e_value_limit(ratios):
    ratio, low, high = ratios[["estimate", "low", "high"]].iloc[0]
    try:
        return e_value(ratio, low, high)[1]
    except ValueError:  # no ratio, or one outside its own limits, has none
        return np.nan
