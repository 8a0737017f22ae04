"""Comparisons that mislead, kept to show by how much. Never a result by themselves.

An animal has to live until its retrieval to count as retrieved (immortal time), and the sickest are not retrieved,
or retrieved first (confounding by indication).
"""

import numpy as np
from scipy.special import expit

from unsnag.stats.cox import cause_specific_cox

from .curves import horizon_measures, weighted_incidence
from .design import design
from .hazard import fit_logistic
from .person_days import NEVER

LABEL = "biased: ever against never retrieved, counted from admission"


def ever_never(days, counts=None):
    """Cases ever retrieved against cases never retrieved, from admission and unweighted.

    days    : PersonDays
    counts  : int array (n,), how often each case is taken, or None
    Returns   dict: "retrieved", "never" and their "difference", float arrays (4,), in the order of curves.MEASURES;
              "label" text
    """
    counts = np.ones(len(days.cases), int) if counts is None else counts
    ever = days.retrieval_day < NEVER
    retrieved, never = (
        horizon_measures(weighted_incidence(days.in_care, days.end_day, days.ending, counts * arm))
        for arm in (ever, ~ever)
    )
    return {"retrieved": retrieved, "never": never, "difference": retrieved - never, "label": LABEL}


def ever_treated_cox(stay_days, is_ended, treatment_day, covariates=None, clinic=None):
    """Cox regression with "ever treated" as if it were known on day 0: the biased comparison as a hazard ratio.

    stay_days     : int array (n,), day of the ending or last sight
    is_ended      : bool array (n,), whether the ending studied came on that day
    treatment_day : int array (n,), later than stay_days if never treated
    covariates    : float array (n, p), or None
    clinic        : array (n,), strata, or None
    Returns         CoxFit of stats.cox; its first coefficient is the treatment's
    """
    treated = treatment_day <= stay_days
    return cause_specific_cox(_beside(treated, covariates), stay_days, is_ended, stratum=clinic)


def time_dependent_cox(stay_days, is_ended, treatment_day, covariates=None, clinic=None):
    """Cox regression in which treatment begins on the day that it is given: no immortal time.

    Arguments and result as in ever_treated_cox. Confounding by findings during the stay remains.
    Source    Crowley & Hu (1977), J Am Stat Assoc 72:27
    """
    stay_days, treatment_day = np.asarray(stay_days), np.asarray(treatment_day)
    before = np.flatnonzero(treatment_day > 0)
    after = np.flatnonzero(treatment_day <= stay_days)
    case = np.concatenate([before, after])
    is_after = np.repeat([False, True], [len(before), len(after)])
    never = treatment_day[case] > stay_days[case]
    return cause_specific_cox(
        _beside(is_after, None if covariates is None else np.asarray(covariates)[case]),
        np.where(is_after | never, stay_days[case], treatment_day[case] - 1),
        np.asarray(is_ended)[case] & (is_after | never),
        entry_days=np.where(is_after, treatment_day[case], 0),
        stratum=None if clinic is None else np.asarray(clinic)[case],
        animal=case,
    )


def _beside(treated, covariates):
    treated = treated.astype(float)[:, None]
    return treated if covariates is None else np.column_stack([treated, covariates])


def single_weight(days, day, confounders):
    """The published shortcut for "retrieve within a window": one weight, at its last day, for all who lived so long.

    Survivors of early retrieval then stand for everybody, and operative deaths before that day count once.

    days        : PersonDays
    day         : int, last day of the window
    confounders : baseline columns for the chance of having been retrieved by that day among those still in care
    Returns       float array (4,), in the order of curves.MEASURES
    """
    retrieved = days.retrieval_day <= day
    decided = np.flatnonzero(days.in_care[:, day] & (days.carrying[:, day] | retrieved))
    matrix, _ = design(days.cases.iloc[decided], confounders)
    chance = expit(matrix @ fit_logistic(matrix, retrieved[decided], np.ones(len(decided))))
    weight = days.in_care.astype(float)
    weight[decided, day:] *= (retrieved[decided] / chance)[:, None]
    counts = np.ones(len(days.cases))
    return horizon_measures(weighted_incidence(weight, days.end_day, days.ending, counts))
