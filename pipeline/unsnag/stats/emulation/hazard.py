"""The daily chance that something is done, as the records show it: pooled logistic regression on person-days."""

from dataclasses import dataclass

import numpy as np
import pandas as pd
from scipy.special import expit

STEPS_MAXIMUM = 40
BLOCK = 256
NEXT_TO_NEVER = 1e-12


@dataclass(frozen=True)
class DailyModel:
    """A pooled logistic model of a daily event, laid out once so that it can be refitted quickly to resampled cases.

    case, day : int arrays (r,), the person-days at risk
    happened  : bool array (r,)
    cells     : float array (c, p), the distinct rows of the design
    cell      : int array (r,), the cell of each person-day
    names     : names of the p columns
    start     : float array (p,), coefficients in the whole data
    """

    case: np.ndarray
    day: np.ndarray
    happened: np.ndarray
    cells: np.ndarray
    cell: np.ndarray
    names: tuple
    start: np.ndarray

    def chance(self, counts):
        """Fitted chance on each person-day, float array (r,), when case i is taken ``counts[i]`` times.

        Kept off 0 and 1: a case that a resampling left out would else get an endless weight, times none.
        """
        chance = expit(self.cells @ self.coefficients(counts))
        return np.clip(chance, NEXT_TO_NEVER, 1 - NEXT_TO_NEVER)[self.cell]

    def coefficients(self, counts):
        """Coefficients, float array (p,), when case i is taken ``counts[i]`` times."""
        weight = counts[self.case].astype(float)
        trials = np.bincount(self.cell, weight, minlength=len(self.cells))
        events = np.bincount(self.cell, weight * self.happened, minlength=len(self.cells))
        return fit_logistic(self.cells, events, trials, self.start, tolerance=1e-6)


def daily_model(case, day, happened, design, names):
    """Lay out a DailyModel and fit it to every case once.

    case, day, happened : arrays (r,) as in DailyModel
    design              : float array (r, p) with an intercept
    """
    cells, cell = _distinct_rows(design)
    trials = np.bincount(cell, minlength=len(cells))
    events = np.bincount(cell, happened, minlength=len(cells))
    start = fit_logistic(cells, events, trials)
    return DailyModel(case, day, happened, cells, cell, tuple(names), start)


def _distinct_rows(design):
    """Distinct rows of a design, in order of appearance, and the place of each row among them."""
    cell = np.zeros(len(design), np.int64)
    for column in design.T:
        code, levels = pd.factorize(column)
        cell, _ = pd.factorize(cell * len(levels) + code)
    _, first = np.unique(cell, return_index=True)
    return design[first], cell


def fit_logistic(design, events, trials, start=None, tolerance=1e-9):
    """Maximum-likelihood logistic regression of counts, by Newton's method with step halving.

    design         : float array (c, p)
    events, trials : float arrays (c,), 0 <= events <= trials; neither need be whole
    start          : float array (p,), where to begin; zeros if None
    tolerance      : gain in log likelihood (as the quadratic foresees it) that ends the search, after that step;
                     1e-6 leaves coefficients right to about a millionth of their standard error
    Returns          float array (p,). Columns that others determine share the effect, and a coefficient that
                     separation sends to infinity stops where the likelihood no longer improves.
    Source           McCullagh & Nelder (1989), 2nd ed., ch. 4; agrees with R's glm and statsmodels' GLM.
    """
    coefficients = np.zeros(design.shape[1]) if start is None else start.copy()
    likelihood = _log_likelihood(design @ coefficients, events, trials)
    for _ in range(STEPS_MAXIMUM):
        step, gain = _newton_step(design, coefficients, events, trials)
        coefficients, likelihood, halvings = _ascend(design, coefficients, step, likelihood, events, trials)
        if gain < tolerance or halvings > 10:
            break
    return coefficients


def _newton_step(design, coefficients, events, trials):
    chance = expit(design @ coefficients)
    score = design.T @ (events - trials * chance)
    information = _information(design, trials * chance * (1 - chance))
    # A hint of a ridge on the step, not on the answer: columns may determine one another in a resampling.
    diagonal = information.reshape(-1)[:: len(information) + 1]
    diagonal += 1e-9 * diagonal + 1e-12
    step = np.linalg.solve(information, score)
    return step, abs(score @ step)


def _information(design, weight):
    """Weighted cross products, in blocks too small for threads: same digits and speed however many cores are busy."""
    blocks = (slice(start, start + BLOCK) for start in range(0, len(design), BLOCK))
    return sum((design[block] * weight[block, None]).T @ design[block] for block in blocks)


def _ascend(design, coefficients, step, likelihood, events, trials):
    """Take the step, halved until the likelihood no longer falls (a lost last digit does not count)."""
    for halvings in range(12):
        tried = coefficients + step / 2**halvings
        reached = _log_likelihood(design @ tried, events, trials)
        if reached >= likelihood - 1e-9 * abs(likelihood):
            return tried, reached, halvings
    return coefficients, likelihood, halvings


def _log_likelihood(linear, events, trials):
    return events @ linear - trials @ np.logaddexp(0, linear)
