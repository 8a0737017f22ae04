"""The facts about one comparison on which the verdict's written rules are applied."""

import numpy as np

from . import diagnostics
from .design import is_factor
from .evalue import e_value
from .person_days import ENDINGS
from .trial import clone_weights
from .weights import last_weight

OUTCOMES = {"released": ("released",), "died_or_euthanased": ("died", "euthanased")}


def comparison_facts(trial, comparison, without_clinics, group, strategy, measure):
    """Facts of one strategy against the first, for verdict.judge.

    comparison      : Comparison; without_clinics : frame of compare.without_each_clinic
    group, strategy : names as in the frames
    measure         : "released" or "died_or_euthanased"
    Returns           dict of the names in verdict.FLOORS and verdict.DOUBTS, and told_apart bool
    """
    weights = dict(zip([each.name for each in trial.strategies], clone_weights(trial), strict=True))
    member = trial.members[trial.groups.index(group)]
    pair = [weights[trial.strategies[0].name], weights[strategy]]
    chosen = {"group": group, "strategy": strategy, "measure": measure}
    return (
        size_facts(trial, pair, member, measure)
        | weight_facts(trial, pair, member)
        | _stability(_only(comparison.differences, chosen), _only(without_clinics, chosen))
        | {"e_value_limit": _e_value_limit(_only(comparison.ratios, chosen))}
        | {"smallest_chance": _smallest_chance(trial, weights, (trial.strategies[0].name, strategy), member)}
    )


def size_facts(trial, pair, member, measure):
    """How much the records say about two strategies.

    pair    : clone weights (n, horizon + 1) of both; member : bool array (n,), cases looked at
    Returns   dict: events (the smaller number of outcomes among cases that stayed in one strategy and not in the
              other: the rest say nothing about the difference), clinics, clinics_with_both, told_apart, lost_share
    """
    days = trial.days
    last = [last_weight(weight, days.end_day) * member for weight in pair]
    first, second = diagnostics.tells_apart(*last)
    outcome = np.isin(days.ending, [ENDINGS.index(each) for each in OUTCOMES[measure]])
    clinic = diagnostics.support(days.cases["clinic"][member], first[member], second[member])
    factors = [name for name in trial.confounders if name != "clinic" and is_factor(days.cases[name])]
    tables = [
        diagnostics.support(days.cases[name][member], first[member], second[member]) for name in factors
    ]
    return {
        "events": min(int((outcome & first).sum()), int((outcome & second).sum())),
        "clinics": len(clinic),
        "clinics_with_both": int(clinic["both_seen"].sum()),
        "told_apart": not any(diagnostics.cannot_be_told_apart(table) for table in tables),
        "lost_share": float(days.lost[member].mean()),
    }


def weight_facts(trial, pair, member):
    """The worse of two strategies' figures: effective_size, heaviest_share, worst_balance; arguments as above."""
    days = trial.days
    last = [last_weight(weight, days.end_day)[member] for weight in pair]
    ranges = [diagnostics.weight_range(each) for each in last]
    tables = [diagnostics.balance(days.cases[member], trial.confounders, each) for each in last]
    return {
        "effective_size": min(each["effective_size"] for each in ranges),
        "heaviest_share": max(each["heaviest_share"] for each in ranges),
        "worst_balance": max(table["difference_after"].abs().max(skipna=False) for table in tables),
    }


def _only(frame, chosen):
    return frame[np.logical_and.reduce([frame[name] == value for name, value in chosen.items()])]


def _stability(differences, without_clinics):
    whole = differences["estimate"].iloc[0]
    turned = (np.sign(without_clinics["difference"]) != np.sign(whole)).sum()
    return {
        "truncation_shift": float(np.ptp(differences["estimate"])),
        "sign_changes_without_a_clinic": int(turned),
    }


def _e_value_limit(ratios):
    ratio, low, high = ratios[["estimate", "low", "high"]].iloc[0]
    if not 0 < low <= ratio <= high:
        return np.nan
    return e_value(ratio, low, high)[1]


def _smallest_chance(trial, weights, names, member):
    """Smallest chance in the records of what either strategy demands of a clone still in it."""
    model = trial.retrieval
    chance = model.chance(np.ones(len(member), int))
    kept = member[model.case]
    before = np.maximum(model.day - 1, 0)
    smallest = [
        diagnostics.smallest_chance(
            trial.targets[name][0][kept], chance[kept], weights[name][model.case, before][kept]
        )
        for name in names
    ]
    return float(np.nanmin(smallest)) if not np.isnan(smallest).all() else 1.0
