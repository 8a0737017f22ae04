"""Cause-specific Cox regression, stratified (e.g. by clinic), with robust variance by animal."""

import warnings
from dataclasses import dataclass

import numpy as np
from scipy.stats import chi2

from unsnag.stats.arguments import normal_quantile
from unsnag.stats.cox_scores import CoxRows, cox_scores
from unsnag.stats.survival import kaplan_meier


@dataclass(frozen=True)
class CoxFit:
    """Log hazard ratios with their variances, and a check that they are constant in time.

    coefficients    : float array (p,), log hazard ratios
    variance        : float array (p, p), from the information, as if rows were independent
    robust_variance : float array (p, p), rows of one animal taken together
    proportional_statistic, proportional_p : float arrays (p,), chi squared on 1 degree of freedom for a trend
                      of each coefficient in time: a small p says that no one hazard ratio describes all days
    rows, endings, animals : int, rows used, endings among them, clusters of the robust variance
    reason          : str, why there is no fit; "" if there is one
    """

    coefficients: np.ndarray
    variance: np.ndarray
    robust_variance: np.ndarray
    proportional_statistic: np.ndarray
    proportional_p: np.ndarray
    rows: int
    endings: int
    animals: int
    reason: str

    def hazard_ratios(self, level=0.95):
        """Hazard ratio, low, high of each covariate, float arrays (p,), by the robust variance."""
        spread = normal_quantile(level) * np.sqrt(np.diag(self.robust_variance))
        return tuple(np.exp(self.coefficients + shift) for shift in (0.0, -spread, spread))


def cause_specific_cox(covariates, stay_days, is_ended, entry_days=None, stratum=None, animal=None):
    """Hazard ratios of one ending, animals with another ending censored.

    A row is an animal, or a part of its stay with constant covariates: then entry_days is the first day of the
    part and ``animal`` says which rows belong together.

    covariates : float array (n, p)
    stay_days  : array (n,), last day of the row
    is_ended   : bool array (n,), whether the ending came on that day
    entry_days : array (n,), first day at risk, that day included; 0 if left out
    stratum    : array (n,), each with its own baseline hazard, e.g. the clinic; one if left out
    animal     : array (n,), rows that vary together; every row alone if left out
    Returns     CoxFit; nan, with the reason, where the data cannot tell
    Raises      ValueError: lengths differ, a value is missing, a stay is negative or ends before its entry
    Source      Cox (1972); Efron's ties; fitted by lifelines. Robust variance: Lin & Wei (1989). Proportional
                hazards: score test of Grambsch & Therneau (1994) Biometrika 81:515-526, time on the
                Kaplan-Meier scale, as cox.zph in R survival 3.
    """
    rows = CoxRows.checked(covariates, stay_days, is_ended, entry_days, stratum)
    of_animal = _clusters(animal, len(rows.stay))
    coefficients, scores, reason = _fitted(rows)
    if reason:
        return _unfitted(rows, of_animal, reason)
    variance = np.linalg.inv(scores.information.sum(axis=0))
    by_animal = np.zeros((of_animal.max() + 1, len(coefficients)))
    np.add.at(by_animal, of_animal, scores.residuals @ variance)
    statistic = _proportional(scores, rows)
    tests = statistic, chi2.sf(statistic, 1)
    return CoxFit(coefficients, variance, by_animal.T @ by_animal, *tests, *_sizes(rows, of_animal), "")


def _fitted(rows):
    """Coefficients, their scores and "", or nothing and the reason."""
    if not rows.ended.any():
        return None, None, "no endings"
    null = cox_scores(rows, np.zeros(rows.covariates.shape[1])).information.sum(axis=0)
    if np.linalg.matrix_rank(null, hermitian=True) < len(null):
        return None, None, "a covariate does not vary among animals at risk together, or repeats another"
    coefficients = _lifelines_coefficients(rows)
    if coefficients is not None:
        scores = cox_scores(rows, coefficients)
        # Towards an infinite coefficient the information fades away.
        if np.linalg.eigvals(np.linalg.solve(null, scores.information.sum(axis=0))).real.min() > 1e-4:
            return coefficients, scores, ""
    return None, None, "the fit does not converge: a covariate may separate the animals with the ending"


def _lifelines_coefficients(rows):
    # Loaded here, because it takes longer to load than most reports need to compute.
    import pandas as pd
    from lifelines import CoxPHFitter
    from lifelines.exceptions import ConvergenceError, ConvergenceWarning

    names = [f"covariate_{column}" for column in range(rows.covariates.shape[1])]
    # lifelines wants positive durations and takes a row to be at risk after its entry: half a day settles both.
    frame = pd.DataFrame(rows.covariates, columns=names).assign(
        stop=rows.stay + 0.5, start=rows.entry, ended=rows.ended, stratum=rows.stratum
    )
    # Told of late entries, lifelines sums each day's risk set anew, which is slow: told only where there are some.
    entry = {"entry_col": "start"} if rows.entry.any() else {}
    frame = frame if entry else frame.drop(columns="start")
    options = {"precision": 1e-12, "r_precision": 1e-14}
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            warnings.simplefilter("error", ConvergenceWarning)
            fit = CoxPHFitter().fit(frame, "stop", "ended", strata=["stratum"], fit_options=options, **entry)
    except (ConvergenceError, ConvergenceWarning):
        return None
    return fit.params_.to_numpy()


def _proportional(scores, rows):
    """Score test of each covariate's product with time, the other coefficients as fitted."""
    curve = kaplan_meier(rows.stay, rows.ended, rows.entry)
    time = 1 - np.concatenate([[1.0], curve.value])[np.searchsorted(curve.days, scores.days)]
    score = time @ scores.score
    within, across, products = (
        np.einsum("t,tij->ij", time**power, scores.information) for power in (0, 1, 2)
    )
    # What the products add beyond the fitted coefficients.
    adjusted = np.diag(products) - np.einsum("ji,ji->i", across, np.linalg.solve(within, across))
    return score**2 / adjusted


def _clusters(animal, size):
    if animal is None:
        return np.arange(size)
    animal = np.asarray(animal)
    if animal.shape != (size,):
        raise ValueError(f"animal: {animal.shape} does not match {size} rows")
    return np.unique(animal, return_inverse=True)[1]


def _sizes(rows, of_animal):
    return len(rows.stay), int(rows.ended.sum()), int(of_animal.max(initial=-1)) + 1


def _unfitted(rows, of_animal, reason):
    count = rows.covariates.shape[1]
    line, square = np.full(count, np.nan), np.full((count, count), np.nan)
    return CoxFit(line, square, square, line, line, *_sizes(rows, of_animal), reason)
