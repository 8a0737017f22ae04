"""Rates pooled over clinics: limits that know that animals of one clinic are alike.

The variance is the bias-reduced cluster-robust one (CR2) and t has Bell and McCaffrey's degrees of freedom: clinics
minus 1 when all are of one size, fewer when a few clinics hold most animals. Plain cluster-robust limits with
t on clinics minus 1 fall short where clinics are unequal (measured in tests/benchmarks/coverage_rates.py).
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import expit, logit
from scipy.stats import t

from unsnag.stats.arguments import as_part_and_total, as_weights, divide, tail_probability


@dataclass(frozen=True)
class Clustered:
    """An estimate pooled over clinics, leading axes (...) as in the counts.

    estimate, variance, low, high, degrees_of_freedom : float arrays (...)
    clinics : int array (...), clinics with animals in every group compared
    reason  : str array (...), why there are no limits; "" if there are
    """

    estimate: np.ndarray
    variance: np.ndarray
    low: np.ndarray
    high: np.ndarray
    degrees_of_freedom: np.ndarray
    clinics: np.ndarray
    reason: np.ndarray


def clustered_rate(count, total, level=0.95):
    """Share of all animals, with limits on the logit scale that allow for differences between clinics.

    count, total : arrays (..., clinics), animals with the outcome and all, 0 <= count <= total
    level     : confidence
    Returns     Clustered; limits nan, with the reason, for one clinic or where clinics do not vary at all
    Raises      ValueError: a count is negative or exceeds its total
    Source      Bell & McCaffrey (2002) Surv Methodol 28:169-181; Pustejovsky & Tipton (2018) J Bus Econ Stat
                36:672-683
    """
    count, total = as_part_and_total(count, total)
    return _on_logit_scale(*_contrast(count[..., None, :], total[..., None, :], np.ones(1)), level)


def clustered_difference(count_1, total_1, count_2, total_2, level=0.95):
    """Difference of two shares, first minus second, seen in the same clinics.

    What a clinic does to both shares cancels, so the limits may be narrower than those of either.

    count_1, total_1, count_2, total_2 : arrays (..., clinics), animals; clinics in the same order
    level     : confidence
    Returns     Clustered
    Raises      ValueError: a count is negative or exceeds its total
    Source      as clustered_rate
    """
    first, second = (
        as_part_and_total(count_1, total_1, "count_1"),
        as_part_and_total(count_2, total_2, "count_2"),
    )
    count, total = (np.stack(pair, axis=-2) for pair in zip(first, second, strict=True))
    estimate, variance, freedom, clinics, reason = _contrast(count, total, np.array([1.0, -1.0]))
    spread = t.isf(tail_probability(level), freedom) * np.sqrt(variance)
    low, high = np.maximum(estimate - spread, -1), np.minimum(estimate + spread, 1)
    return Clustered(estimate, variance, low, high, freedom, clinics, reason)


def clustered_standardised_rate(count, total, standard, level=0.95):
    """Directly standardised rate with limits that allow for differences between clinics.

    count, total : arrays (..., strata, clinics), animals of each case-mix stratum in each clinic
    standard  : array (strata,), animals of the standard population, or any weights
    level     : confidence
    Returns     Clustered; nan, with the reason, where a stratum of the standard has no animals or one clinic
    Raises      ValueError: a count is negative or exceeds its total, or the standard is empty
    Source      as clustered_rate; direct standardisation as in standardise.direct_rate
    """
    count, total = as_part_and_total(count, total)
    weights = as_weights(standard, count.shape[-2])
    used = weights > 0
    return _on_logit_scale(*_contrast(count[..., used, :], total[..., used, :], weights[used]), level)


def _contrast(count, total, weights):
    """Weighted sum of the groups' rates (..., groups, clinics), its CR2 variance and degrees of freedom."""
    size = total.sum(axis=-1)
    rate = divide(count.sum(axis=-1), size)
    share = divide(total, size[..., None])
    reason = _reason(size, share)
    scale = divide(divide(weights, size)[..., None], np.sqrt(1 - share))
    surprise = (scale * (count - rate[..., None] * total)).sum(axis=-2)
    variance = np.where(reason == "", (surprise**2).sum(axis=-1), np.nan)
    # A rate that is 0 or 1, or the same in all clinics, leaves nothing to judge the spread by.
    flat = variance <= 1e-16
    variance = np.where(flat, np.nan, variance)
    reason = np.where(flat, "the clinics do not vary: use exact limits", reason)
    clinics = (total > 0).all(axis=-2).sum(axis=-1)
    return (weights * rate).sum(axis=-1), variance, _freedom(scale, total, share), clinics, reason


def _freedom(scale, total, share):
    """Satterthwaite's degrees of freedom of the CR2 variance if animals were independent (Bell-McCaffrey)."""
    own = (scale**2 * total).sum(axis=-2)
    between = -np.einsum("...gc,...gd->...cd", scale * total, scale * share)
    covariance = between + own[..., None] * np.eye(own.shape[-1])
    trace = np.trace(covariance, axis1=-2, axis2=-1)
    return divide(trace**2, (covariance**2).sum(axis=(-2, -1)))


def _reason(size, share):
    one_clinic = (share == 1).any(axis=(-2, -1))
    reason = np.where(one_clinic, "one clinic: the spread between clinics cannot be seen", "")
    return np.where((size == 0).any(axis=-1), "no animals in a group", reason)


def _on_logit_scale(estimate, variance, freedom, clinics, reason, level):
    with np.errstate(invalid="ignore"):
        spread = t.isf(tail_probability(level), freedom) * np.sqrt(variance) / (estimate * (1 - estimate))
    centre = logit(estimate)
    low, high = expit(centre - spread), expit(centre + spread)
    return Clustered(estimate, variance, low, high, freedom, clinics, reason)
