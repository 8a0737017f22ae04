"""Tests of several groups by a score vector that sums to zero: log-rank here, Gray's test beside it."""

from dataclasses import dataclass

import numpy as np
from scipy.stats import chi2

from unsnag.stats.risk_counts import risk_counts


@dataclass(frozen=True)
class ScoreTest:
    """Result of a test of several groups.

    groups   : array (g,), labels
    observed_minus_expected : float array (g,), endings more than expected if the groups were alike
    statistic, p_value      : floats; nan if there is nothing to compare
    degrees_of_freedom      : int
    reason   : str, why there is no statistic; "" if there is one
    """

    groups: np.ndarray
    observed_minus_expected: np.ndarray
    statistic: float
    p_value: float
    degrees_of_freedom: int
    reason: str


def log_rank_test(stay_days, is_ended, group, entry_days=None, stratum=None):
    """Compare the hazard of a single ending between groups; for endings that compete use Gray's test.

    stay_days  : int array (n,), whole days
    is_ended   : bool array (n,), False if censored
    group      : array (n,), labels of the groups compared
    entry_days : int array (n,), first day under observation; 0 if left out
    stratum    : array (n,), e.g. the clinic: groups are compared within strata; one stratum if left out
    Returns     ScoreTest
    Raises      ValueError: lengths differ, or a stay is negative
    Source      Mantel (1966); Peto & Peto (1972) J R Stat Soc A 135:185-206; as survdiff in R survival.
    """
    ending = np.where(is_ended, "ended", "")

    def score(counts):
        return _log_rank_score(counts.at_risk, counts.events[:, 0])

    return compare_groups(score, stay_days, ending, group, ("ended",), entry_days, stratum)


def compare_groups(score, stay_days, ending, group, causes, entry_days=None, stratum=None, animals=None):
    """Add up a score and its covariance over strata and refer it to chi squared.

    score   : function of RiskCounts -> score (g,), covariance (g, g)
    animals : int array (n,), animals that a row stands for; 1 if left out
    others  : as log_rank_test
    Returns     ScoreTest
    """
    stay_days, ending, group = np.asarray(stay_days), np.asarray(ending), np.asarray(group)
    entry_days = np.zeros_like(stay_days) if entry_days is None else np.asarray(entry_days)
    stratum = np.zeros(stay_days.shape, dtype=int) if stratum is None else np.asarray(stratum)
    animals = np.ones(stay_days.shape, dtype=int) if animals is None else np.asarray(animals)
    if not stay_days.shape == ending.shape == group.shape == stratum.shape == animals.shape:
        raise ValueError("stay_days, ending, group, stratum and animals differ in length")
    labels = np.unique(group)
    total, covariance = np.zeros(len(labels)), np.zeros((len(labels), len(labels)))
    for value in np.unique(stratum):
        inside = stratum == value
        counts = risk_counts(
            stay_days[inside], ending[inside], causes, group[inside], entry_days[inside], animals[inside]
        )
        rows = np.searchsorted(labels, counts.groups)
        part, part_covariance = score(counts)
        total[rows] += part
        covariance[np.ix_(rows, rows)] += part_covariance
    return _chi_squared(labels, total, covariance)


def _log_rank_score(at_risk, events):
    """Observed minus expected, and the hypergeometric covariance of a day's ties."""
    everybody, endings = at_risk.sum(axis=0), events.sum(axis=0)
    share = np.divide(at_risk, everybody, out=np.zeros(at_risk.shape), where=everybody > 0)
    ties = endings * (everybody - endings) / np.maximum(everybody - 1, 1)
    covariance = np.diag((share * ties).sum(axis=1)) - (share * ties) @ share.T
    return (events - share * endings).sum(axis=1), covariance


def _chi_squared(labels, score, covariance):
    # One group follows from the others, and a group never at risk beside another adds nothing.
    scale = np.abs(covariance).max(initial=0)
    rank = int(np.linalg.matrix_rank(covariance, tol=1e-10 * scale, hermitian=True)) if scale > 0 else 0
    if rank == 0:
        reason = "no endings while two groups were at risk"
        return ScoreTest(labels, score, np.nan, np.nan, 0, reason)
    statistic = float(score @ np.linalg.pinv(covariance, rtol=1e-10, hermitian=True) @ score)
    return ScoreTest(labels, score, statistic, float(chi2.sf(statistic, rank)), rank, "")
