"""One planned comparison, laid out once and estimated for any resampling of its cases."""

from dataclasses import dataclass

import numpy as np

from . import design as designs
from .curves import MEASURES, horizon_measures, weighted_incidence
from .hazard import DailyModel, daily_model
from .person_days import NEVER, PersonDays
from .strategies import compile_strategy, line_target, retrieval_target
from .weights import cap_weights, decision_ratio, last_weight, running_product, staying_weight

LOSSES_FOR_A_MODEL = 10
EVERYBODY = ("all", "all")
KNOWN = ("worse", "position", "film_today", "line_cut")  # latest findings, on which a retrieval is decided


@dataclass(frozen=True)
class Trial:
    """A comparison ready to be estimated; made by prepare().

    strategies : tuple of Strategy, the first is the one that others are compared with
    retrieval, line, loss : DailyModel; None if no strategy needs it, nobody is at risk, or too few were lost
    means      : dict of means to DailyModel of "by this means, given that a retrieval was made"
    targets    : dict of strategy name to (retrieval target, line target), float arrays on the models' person-days
    groups     : tuple of (feature, level), ("all", "all") first; members : bool array (g, n)
    """

    days: PersonDays
    strategies: tuple
    retrieval: DailyModel | None
    line: DailyModel | None
    loss: DailyModel | None
    means: dict
    targets: dict
    groups: tuple
    members: np.ndarray
    confounders: tuple


def prepare(days, strategies, confounders, by=(), day_steps=designs.DAY_STEPS):
    """Lay out a comparison.

    days        : PersonDays of the eligible cases
    strategies  : dict of name to plain data (see strategies.py); the first is the reference
    confounders : baseline columns of the cases; "clinic" belongs among them. The latest findings join by themselves.
    by          : baseline text columns for effects by group, a name or several; each feature's levels are groups
    day_steps   : days at which the usual chance of intervention may change its level
    Returns       Trial
    Raises        ValueError: a strategy or covariate that cannot be used
    """
    compiled = tuple(compile_strategy(name, plain) for name, plain in strategies.items())
    retrieval = _decision_model(days, days.carrying, days.retrieval_day, (*confounders, *KNOWN), day_steps)
    line = None
    if any(each.kind == "line_cut_and_left" for each in compiled):
        line = _decision_model(days, days.with_line, days.line_day, (*confounders, "worse"), day_steps[:3])
    groups, members = _groups(days, by)
    return Trial(
        days=days,
        strategies=compiled,
        retrieval=retrieval,
        line=line,
        loss=_loss_model(days, confounders, day_steps),
        means={each.means: _means_model(days, each.means, confounders) for each in compiled if each.means},
        targets={each.name: _targets(each, days, retrieval, line) for each in compiled},
        groups=groups,
        members=members,
        confounders=tuple(confounders),
    )


def estimate(trial, counts=None, quantiles=(1.0, 0.99)):
    """Measures of every strategy at the horizon.

    counts    : int array (n,), how often each case is taken; None: once
    quantiles : truncation of weights, see cap_weights
    Returns     float array (quantiles, groups, strategies, 4), last axis in the order of curves.MEASURES
    """
    counts = np.ones(len(trial.days.cases), int) if counts is None else counts
    result = np.empty((len(quantiles), len(trial.groups), len(trial.strategies), len(MEASURES)))
    for place, weight in enumerate(clone_weights(trial, counts)):
        for cut, quantile in enumerate(quantiles):
            curves = _group_curves(trial, cap_weights(weight, trial.days.end_day, counts, quantile), counts)
            result[cut, :, place] = horizon_measures(curves)
    return result


def strategy_curves(trial, quantile=1.0):
    """Weighted curves, float array (groups, strategies, horizon + 1, 4 endings in the order of ENDINGS)."""
    counts = np.ones(len(trial.days.cases), int)
    weights = (
        cap_weights(each, trial.days.end_day, counts, quantile) for each in clone_weights(trial, counts)
    )
    return np.stack([_group_curves(trial, weight, counts) for weight in weights], axis=1)


def clone_weights(trial, counts=None):
    """Weights of each strategy's clones, yielded in order: float array (n, horizon + 1), 0 when not in care."""
    counts = np.ones(len(trial.days.cases), int) if counts is None else counts
    chance = {name: model.chance(counts) for name, model in _models(trial).items()}
    by_means = {means: model.chance(counts) for means, model in trial.means.items() if model is not None}
    shape = trial.days.in_care.shape
    staying = trial.days.in_care.astype(float, order="F")
    if trial.loss is not None:
        staying *= staying_weight(shape, trial.loss.case, trial.loss.day, chance["loss"])
    for strategy in trial.strategies:
        # In a resampling where a decision was all but certain weights may outgrow all numbers: then it has no curve.
        with np.errstate(over="ignore", invalid="ignore"):
            weight = staying * _compatible(trial, strategy, chance, by_means)
        weight[counts == 0] = (
            0.0  # the fit knows nothing of an animal that was not drawn: its weight may be any
        )
        yield weight


def final_weights(trial):
    """Weight of each clone when its case ended, for diagnostics: dict of strategy name to float array (n,).

    A lost case is 0 if others stand for it by censoring weights. The mean over eligible cases is then about 1.
    """
    stood_for = trial.days.lost if trial.loss is not None else np.zeros_like(trial.days.lost)
    last = (last_weight(weight, trial.days.end_day) * ~stood_for for weight in clone_weights(trial))
    return dict(zip([each.name for each in trial.strategies], last, strict=True))


def _models(trial):
    every = {"retrieval": trial.retrieval, "line": trial.line, "loss": trial.loss}
    return {name: model for name, model in every.items() if model is not None}


def _compatible(trial, strategy, chance, by_means):
    """Weight for the decisions of a strategy, float array (n, horizon + 1)."""
    shape = trial.days.in_care.shape
    weight = np.ones(shape, order="F")
    for name, target in zip(("retrieval", "line"), trial.targets[strategy.name], strict=True):
        model = getattr(trial, name)
        if model is not None and not np.isnan(target).all():
            ratio = decision_ratio(target, chance[name], model.happened)
            weight *= running_product(shape, model.case, model.day, ratio)
    if strategy.means in by_means:
        model = trial.means[strategy.means]
        ratio = np.where(model.happened, 1 / by_means[strategy.means], 0.0)
        weight *= running_product(shape, model.case, model.day, ratio)
    return weight


def _group_curves(trial, weight, counts):
    return weighted_incidence(weight, trial.days.end_day, trial.days.ending, counts * trial.members)


def _decision_model(days, at_risk, done_day, covariates, day_steps):
    case, day = days.rows(at_risk)
    if len(case) == 0:
        return None
    happened = done_day[case] == day
    matrix, names = designs.design(days.history(case, day), covariates, day_steps)
    return daily_model(case, day, happened, matrix, names)


def _means_model(days, means, confounders):
    case = np.flatnonzero(days.retrieval_day < NEVER)
    day = days.retrieval_day[case]
    if len(case) == 0:
        return None
    happened = days.means[case] == means
    matrix, names = designs.design(days.history(case, day), (*confounders, "worse"))
    return daily_model(case, day, happened, matrix, names)


def _loss_model(days, confounders, day_steps):
    """Chance of being lost on a day, given that the case did not end that day; None if losses are few."""
    if days.lost.sum() < LOSSES_FOR_A_MODEL:
        return None
    case, day = days.rows(days.in_care)
    still = (day < days.end_day[case]) | (days.ending[case] < 0)
    case, day = case[still], day[still]
    happened = days.lost[case] & (day == days.end_day[case])
    matrix, names = designs.design(days.history(case, day), (*confounders, "worse", "gear_gone"), day_steps)
    return daily_model(case, day, happened, matrix, names)


def _targets(strategy, days, retrieval, line):
    taxon_group = days.cases["taxon_group"].to_numpy()
    retrieve = cut = None
    if retrieval is not None:
        case, day = retrieval.case, retrieval.day
        spells = days.worse_days[case, day], days.unmoved_days[case, day]
        retrieve = retrieval_target(strategy, taxon_group[case], day, *spells)
    if line is not None:
        cut = line_target(strategy, taxon_group[line.case], line.day)
    return retrieve, cut


def _groups(days, by):
    names, members = [EVERYBODY], [np.ones(len(days.cases), bool)]
    for feature in (by,) if isinstance(by, str) else by:
        values = designs.as_levels(days.cases[feature])
        levels = sorted(set(values))
        names += [(feature, level) for level in levels]
        members += [values == level for level in levels]
    return tuple(names), np.vstack(members)
