"""Comparisons that mislead, kept to show by how much. Never a result by themselves.

An animal has to live until its retrieval to count as retrieved (immortal time), and the sickest are not retrieved,
or retrieved first (confounding by indication).
"""

import numpy as np
import pandas as pd

from .curves import horizon_measures, weighted_incidence
from .person_days import NEVER

LABEL = "biased: ever against never retrieved, counted from admission"


def ever_never(days, counts=None):
    """Cases ever retrieved against cases never retrieved, from admission and unweighted.

    days    : PersonDays
    Returns   dict: "retrieved", "never" float arrays (4,), in the order of curves.MEASURES; "label" text
    """
    counts = np.ones(len(days.cases), int) if counts is None else counts
    weight = days.in_care.astype(float)
    ever = days.retrieval_day < NEVER
    arms = {"retrieved": ever, "never": ~ever}
    curves = {
        name: weighted_incidence(weight, days.end_day, days.ending, counts * arm)
        for name, arm in arms.items()
    }
    return {name: horizon_measures(curve) for name, curve in curves.items()} | {"label": LABEL}


def time_dependent_intervals(days, endings):
    """Follow-up cut at the retrieval, for a Cox model in which treatment begins when it happens.

    days    : PersonDays
    endings : codes of the endings that count as the event (positions in person_days.ENDINGS)
    Returns   frame: case, start, stop (days; stops of follow-up have half a day added, so that none is empty),
              retrieved 0 or 1, event bool, and the cases' columns
    """
    end = days.end_day + 0.5
    event = np.isin(days.ending, endings)
    switch = np.minimum(days.retrieval_day, end)
    before = _intervals(np.zeros(len(end)), switch, 0, event & (days.retrieval_day == NEVER), days.cases)
    after = _intervals(switch, end, 1, event, days.cases)
    both = pd.concat([before, after])
    return (
        both[both["stop"] > both["start"]]
        .sort_values(["case", "start"], kind="stable")
        .reset_index(drop=True)
    )


def _intervals(start, stop, retrieved, event, cases):
    return cases.assign(start=start, stop=stop, retrieved=retrieved, event=event)


def hazard_ratio(intervals, treatment, covariates=()):
    """Cox hazard ratio of a treatment, from follow-up in intervals.

    intervals  : frame with case, start, stop, event, the treatment and the covariates as numbers; one interval a case
                 with treatment known from the start gives the naive analysis, cut intervals the time-dependent one
    Returns      (ratio, low, high), 95 % limits
    Source       lifelines.CoxTimeVaryingFitter (Efron's ties)
    """
    from lifelines import CoxTimeVaryingFitter

    columns = ["case", "start", "stop", "event", treatment, *covariates]
    model = CoxTimeVaryingFitter().fit(
        intervals[columns], id_col="case", start_col="start", stop_col="stop", event_col="event"
    )
    row = model.summary.loc[treatment]
    return tuple(float(np.exp(row[name])) for name in ("coef", "coef lower 95%", "coef upper 95%"))


def single_weight(days, day, chance):
    """The published shortcut for "retrieve within a window": one weight, at its last day, for all who lived so long.

    Survivors of early retrieval then stand for everybody, and operative deaths before that day count once.

    days    : PersonDays
    day     : int, last day of the window
    chance  : float array (n,), chance of having been retrieved by that day among those still in care then
    Returns   float array (4,), in the order of curves.MEASURES
    """
    weight = days.in_care.astype(float)
    retrieved = days.retrieval_day <= day
    open_decision = days.carrying[:, day] | retrieved
    weight[:, day:] *= np.where(open_decision, retrieved / chance, 1.0)[:, None]
    counts = np.ones(len(days.cases))
    return horizon_measures(weighted_incidence(weight, days.end_day, days.ending, counts))
