"""Landmark analysis with overlap weights: those retrieved by a day against those still carrying their gear then."""

import numpy as np
from scipy.special import expit

from .curves import MEASURES, horizon_measures, weighted_incidence
from .design import design
from .hazard import fit_logistic


def overlap_weights(matrix, treated, counts):
    """Weight each animal by its chance of the other treatment: those who could have had either count most.

    matrix  : float array (n, p) with an intercept
    treated : bool array (n,)
    counts  : array (n,), how often each is taken
    Returns   float array (n,), in [0, 1]; weighted means of every column agree exactly between treatments
    Source    Li, Morgan & Zaslavsky (2018), J Am Stat Assoc 113:390, theorem 3
    """
    chance = expit(matrix @ fit_logistic(matrix, counts * treated, counts.astype(float)))
    return np.where(treated, 1 - chance, chance)


def landmark(days, day, confounders, counts=None):
    """Compare, from a day on, cases retrieved by then with cases that still carry their gear.

    days        : PersonDays
    day         : int, the landmark; cases that ended before or on it, or whose gear had passed, are left out
    confounders : baseline columns (findings up to the landmark may be effects of an early retrieval)
    counts      : int array (n,), or None
    Returns       dict: "retrieved", "carrying" and their "difference", float arrays (4,) in the order of
                  curves.MEASURES, counted from the landmark to the horizon; "cases" numbers of both. nan if one of
                  them is empty.
    Raises        ValueError: the landmark does not lie before the horizon

    It answers another question than a strategy: animals must have survived to the landmark.
    """
    if not 0 <= day < days.horizon:
        raise ValueError(f"the landmark is day {day}; give a day from 0 to {days.horizon - 1}")
    counts = np.ones(len(days.cases), int) if counts is None else counts
    treated = days.retrieval_day <= day
    kept = np.flatnonzero(days.in_care[:, day + 1] & (treated | days.carrying[:, day]) & (counts > 0))
    treated, counts = treated[kept], counts[kept]
    arms = {"retrieved": treated, "carrying": ~treated}
    numbers = {"cases": tuple(int(arm.sum()) for arm in arms.values())}
    if not all(numbers["cases"]):
        return dict.fromkeys((*arms, "difference"), np.full(len(MEASURES), np.nan)) | numbers
    matrix, _ = design(days.cases.iloc[kept], confounders)
    weight = overlap_weights(matrix, treated, counts)[:, None] * days.in_care[kept, day + 1 :]
    follow_up = days.end_day[kept] - day - 1, days.ending[kept]
    curves = {name: weighted_incidence(weight, *follow_up, counts * arm) for name, arm in arms.items()}
    found = {name: horizon_measures(curve) for name, curve in curves.items()}
    return found | {"difference": found["retrieved"] - found["carrying"]} | numbers
