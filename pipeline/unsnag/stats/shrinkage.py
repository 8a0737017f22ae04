"""Partial pooling of small groups: each rate is drawn towards all groups' rate, the more the fewer its animals."""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import minimize
from scipy.special import betaln, digamma, expit, logit
from scipy.stats import beta

from unsnag.stats.arguments import as_part_and_total, divide, tail_probability

FEWEST_GROUPS = 5


@dataclass(frozen=True)
class Shrunken:
    """Raw and shrunken rates side by side.

    raw, shrunken, low, high : float arrays (g,); shrunken and its limits are nan where ``reason`` says why
    mean       : float, rate of a typical group; the pooled rate if there is a reason
    between_sd : float, standard deviation of the true rates between groups; 0 at the boundary
    strength   : float, animals that the prior counts for; a group with as many is drawn half-way to the mean
    reason     : str, why nothing was shrunk; "" if it was
    """

    raw: np.ndarray
    shrunken: np.ndarray
    low: np.ndarray
    high: np.ndarray
    mean: float
    between_sd: float
    strength: float
    reason: str


def shrink_rates(count, total, level=0.95):
    """Beta-binomial empirical Bayes: rates of groups that are alike, but not the same.

    The limits take the fitted prior as known, so with few groups they are somewhat too narrow. Where groups
    differ no more than chance would make them, the likelihood is highest at no variance: every group would get
    the pooled rate. That is said, not done.

    count, total : arrays (g,), animals with the outcome and all; groups without animals get the prior's mean
    level     : confidence
    Returns     Shrunken
    Raises      ValueError: a count is negative or exceeds its total
    Source      Griffiths (1973) Biometrics 29:637-648 (likelihood); Morris (1983) J Am Stat Assoc 78:47-55
    """
    count, total = as_part_and_total(count, total)
    pooled = divide(count.sum(), total.sum())
    reason = _reason(count, total, pooled)
    raw, nothing = divide(count, total), np.full(count.shape, np.nan)
    if reason:
        between = 0.0 if reason.startswith("the groups") else np.nan
        return Shrunken(raw, nothing, nothing, nothing, float(pooled), between, np.nan, reason)
    a, b = beta_binomial_fit(count, total)
    posterior = beta(count + a, total - count + b)
    tail = tail_probability(level)
    mean = a / (a + b)
    between = np.sqrt(mean * (1 - mean) / (a + b + 1))
    return Shrunken(raw, posterior.mean(), posterior.ppf(tail), posterior.isf(tail), mean, between, a + b, "")


def beta_binomial_fit(count, total):
    """Maximum-likelihood beta prior (a, b) of rates that vary between groups.

    count, total : float arrays (g,), with more variance than chance gives (see shrink_rates)
    Returns     a, b, floats > 0
    """
    start = np.array([logit(count.sum() / total.sum()), np.log(10.0)])
    fit = minimize(_minus_log_likelihood, start, (count, total), "BFGS", jac=True, options={"gtol": 1e-9})
    mean, strength = expit(fit.x[0]), np.exp(fit.x[1])
    return mean * strength, (1 - mean) * strength


def _reason(count, total, pooled):
    groups = int((total > 0).sum())
    if groups < FEWEST_GROUPS:
        return f"{groups} groups with animals; shrinkage needs {FEWEST_GROUPS}"
    if pooled in (0, 1) or _slope_at_no_variance(count, total, pooled) <= 0:
        return "the groups differ no more than chance would make them: read the pooled rate"
    return ""


def _slope_at_no_variance(count, total, mean):
    """Slope of the log-likelihood in 1/strength at 0: not above 0 means that no variance fits best."""
    pairs = count * (count - 1) / mean + (total - count) * (total - count - 1) / (1 - mean)
    return (pairs - total * (total - 1)).sum() / 2


def _minus_log_likelihood(parameters, count, total):
    mean, strength = expit(parameters[0]), np.exp(parameters[1])
    a, b = mean * strength, (1 - mean) * strength
    likelihood = betaln(count + a, total - count + b) - betaln(a, b)
    both = digamma(a + b) - digamma(total + a + b)
    by_a = (digamma(count + a) - digamma(a) + both).sum()
    by_b = (digamma(total - count + b) - digamma(b) + both).sum()
    slope = np.array([(by_a - by_b) * mean * (1 - mean) * strength, by_a * a + by_b * b])
    return -likelihood.sum(), -slope
