"""Risk-set sums of the Cox model with Efron's ties: score, information and score residuals.

lifelines fits the model, but its robust variance and its test of proportional hazards take tied days one by one
in row order (and leave late entries out). Day data are all ties, so these are computed here.
"""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class CoxRows:
    """Checked data of a Cox model: covariates (n, p), and for each row its last and first day and its stratum."""

    covariates: np.ndarray
    stay: np.ndarray
    ended: np.ndarray
    entry: np.ndarray
    stratum: np.ndarray

    @classmethod
    def checked(cls, covariates, stay_days, is_ended, entry_days, stratum):
        """Centred covariates and arrays of one length, or a ValueError that names the culprit."""
        covariates = np.asarray(covariates, dtype=float)
        stay = np.asarray(stay_days, dtype=float)
        entry = np.zeros(stay.shape) if entry_days is None else np.asarray(entry_days, dtype=float)
        stratum = np.zeros(stay.shape, dtype=int) if stratum is None else np.asarray(stratum)
        ended = np.asarray(is_ended, dtype=bool)
        if covariates.ndim != 2 or not len(covariates) == len(stay) == len(entry) == len(stratum) == len(
            ended
        ):
            raise ValueError(
                "covariates (n, p), stay_days, is_ended, entry_days and stratum differ in length"
            )
        if not np.isfinite(covariates).all():
            raise ValueError("covariates: a value is missing")
        if not ((entry >= 0) & (entry <= stay)).all():
            raise ValueError("stay_days: a stay is missing, negative or ends before its entry")
        # Centring changes no coefficient and keeps exp() from overflowing.
        centre = covariates.mean(axis=0) if len(covariates) else 0.0
        return cls(covariates - centre, stay, ended, entry, np.unique(stratum, return_inverse=True)[1])


@dataclass(frozen=True)
class CoxScores:
    """Partial-likelihood quantities at given coefficients.

    residuals   : float array (n, p), each row's share of the score, in row order
    days        : float array (m,), days with endings, one entry per stratum and day
    score       : float array (m, p), score of the day
    information : float array (m, p, p), information of the day
    """

    residuals: np.ndarray
    days: np.ndarray
    score: np.ndarray
    information: np.ndarray


def cox_scores(rows, coefficients):
    """Score residuals of every row, and score and information of every day, within strata.

    rows         : CoxRows
    coefficients : float array (p,)
    Returns     CoxScores
    Source      Lin & Wei (1989) J Am Stat Assoc 84:1074-1078; Therneau & Grambsch (2000), Modeling Survival
                Data, sec. 3.4, 7.1 and 7.2 (Efron's ties)
    """
    residuals, parts = np.zeros(rows.covariates.shape), []
    for stratum in range(rows.stratum.max(initial=-1) + 1):
        inside = rows.stratum == stratum
        x, stay, ended, entry = (
            values[inside] for values in (rows.covariates, rows.stay, rows.ended, rows.entry)
        )
        ties = _Ties.of(x, stay, ended, entry, coefficients)
        residuals[inside] = ties.residuals(x, stay, ended, entry, np.exp(x @ coefficients))
        parts.append((ties.days, ties.score(x[ended]), ties.information))
    return CoxScores(residuals, *(np.concatenate(part) for part in zip(*parts, strict=True)))


@dataclass(frozen=True)
class _Ties:
    """Sums over the days of one stratum; Efron lets the l-th of d tied endings see the risk set less l/d of them.

    days        : (m,), with of_day (endings,) the day of each row that ends
    endings     : (m,), endings on the day
    mean        : (m, p), covariate means of the risk sets, summed over the day's ties
    information : (m, p, p)
    hazard      : (m, 1 + p), hazard per unit of risk, and the same times the mean, summed over ties
    spared      : (m, 1 + p), the part of it that the tied animals themselves are spared
    """

    days: np.ndarray
    of_day: np.ndarray
    endings: np.ndarray
    mean: np.ndarray
    information: np.ndarray
    hazard: np.ndarray
    spared: np.ndarray

    @classmethod
    def of(cls, x, stay, ended, entry, coefficients):
        days, of_day = np.unique(stay[ended], return_inverse=True)
        endings = np.bincount(of_day, minlength=len(days))
        moments = _moments(x, coefficients)
        at_risk = _sum_from(moments, stay, days, "left") - _sum_from(moments, entry, days, "right")
        of_tie = np.repeat(np.arange(len(days)), endings)
        earlier_ties = np.arange(len(of_tie)) - (np.cumsum(endings) - endings)[of_tie]
        fraction = (earlier_ties / endings[of_tie])[:, None]
        sums = at_risk[of_tie] - fraction * _sum_by(of_day, moments[ended], len(days))[of_tie]
        first, second = np.split(sums[:, 1:] / sums[:, :1], [x.shape[1]], axis=1)
        spread = second.reshape(-1, x.shape[1], x.shape[1]) - first[:, :, None] * first[:, None, :]
        steps = np.hstack([np.ones((len(first), 1)), first]) / sums[:, :1]
        by_day = (_sum_by(of_tie, values, len(days)) for values in (first, spread, steps, fraction * steps))
        return cls(days, of_day, endings, *by_day)

    def score(self, x_ended):
        return _sum_by(self.of_day, x_ended, len(self.days)) - self.mean

    def residuals(self, x, stay, ended, entry, risk):
        """What each row adds to the score: its ending, less the hazard that it passed while at risk."""
        passed = np.vstack([np.zeros((1, self.hazard.shape[1])), np.cumsum(self.hazard, axis=0)])
        hazard = passed[np.searchsorted(self.days, stay, "right")]
        hazard = hazard - passed[np.searchsorted(self.days, entry, "left")]
        hazard[ended] -= self.spared[self.of_day]
        residuals = -risk[:, None] * (x * hazard[:, :1] - hazard[:, 1:])
        residuals[ended] += x[ended] - (self.mean / self.endings[:, None])[self.of_day]
        return residuals


def _moments(x, coefficients):
    """Risk, risk times x, risk times x x', one row each."""
    products = (x[:, :, None] * x[:, None, :]).reshape(len(x), -1)
    return np.exp(x @ coefficients)[:, None] * np.hstack([np.ones((len(x), 1)), x, products])


def _sum_from(values, when, days, side):
    """Sum over the rows with when >= day ("left") or when > day ("right"), for each day."""
    order = np.argsort(when, kind="stable")
    after = np.vstack([np.cumsum(values[order][::-1], axis=0)[::-1], np.zeros((1, values.shape[1]))])
    return after[np.searchsorted(when[order], days, side)]


def _sum_by(index, values, size):
    total = np.zeros((size, *values.shape[1:]))
    np.add.at(total, index, values)
    return total
