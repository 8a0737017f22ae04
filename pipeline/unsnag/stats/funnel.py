"""Funnel of clinics: which differ from the network by more than chance and ordinary variety explain?"""

from dataclasses import dataclass

import numpy as np

from unsnag.stats.arguments import as_counts, divide, normal_quantile

FEWEST_CLINICS = 10
WINSORISED = 0.1


@dataclass(frozen=True)
class Funnel:
    """Case-mix-adjusted ratios with control limits around 1.

    ratio      : float array (c,), observed over expected
    low, high  : float arrays (levels, c), control limits of each clinic; nan where ``reason`` says why
    dispersion : float, mean squared z score after winsorising; 1 if clinics differ by chance only
    between_sd : float, standard deviation between clinics that the limits allow for
    reason     : str, why there are no limits; "" if there are
    """

    ratio: np.ndarray
    low: np.ndarray
    high: np.ndarray
    dispersion: float
    between_sd: float
    reason: str


def funnel(observed, expected, variance, levels=(0.95, 0.998)):
    """Control limits for observed over expected, widened by the ordinary variety between clinics.

    A clinic outside the limits deserves a question, not a rank.

    observed, expected, variance : arrays (c,), animals with the outcome, their expected number and its variance
                from the clinic's own case mix (standardise.expected_count)
    levels    : confidence of the limits, (levels,)
    Returns     Funnel
    Raises      ValueError: a count is negative, or the lengths differ
    Source      Spiegelhalter (2005) Stat Med 24:1185-1202 and Qual Saf Health Care 14:347-351 (additive
                over-dispersion, 10 % winsorised on each side)
    """
    observed, expected, variance = as_counts(observed=observed, expected=expected, variance=variance)
    ratio, own = divide(observed, expected), divide(variance, expected**2)
    known = own > 0
    shape = (len(levels), len(ratio))
    if known.sum() < FEWEST_CLINICS:
        nothing = np.full(shape, np.nan)
        reason = f"{known.sum()} clinics with an expected variance; a funnel needs {FEWEST_CLINICS}"
        return Funnel(ratio, nothing, nothing, np.nan, np.nan, reason)
    squares = _winsorised((ratio[known] - 1) / np.sqrt(own[known])) ** 2
    between = _between_variance(squares, own[known])
    quantiles = np.array([normal_quantile(level) for level in levels])[:, None]
    spread = quantiles * np.sqrt(np.where(known, own, np.nan) + between)
    return Funnel(ratio, np.maximum(1 - spread, 0), 1 + spread, squares.mean(), np.sqrt(between), "")


def _winsorised(scores):
    """Scores with a tenth on each side pulled in to the next one, so that outliers do not widen the limits."""
    ordered = np.sort(scores)
    cut = int(WINSORISED * len(scores))
    return np.clip(scores, ordered[cut], ordered[-1 - cut])


def _between_variance(squares, own):
    """Method of moments (DerSimonian & Laird 1986) on the winsorised scores; not below 0."""
    weights = 1 / own
    excess = squares.sum() - (len(own) - 1)
    return max(excess / (weights.sum() - (weights**2).sum() / weights.sum()), 0.0)
