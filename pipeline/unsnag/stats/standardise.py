"""Rates as they would be with one case mix: direct and indirect standardisation, and Mantel-Haenszel."""

from dataclasses import dataclass

import numpy as np

from unsnag.stats.arguments import as_part_and_total, as_weights, divide
from unsnag.stats.proportions import clopper_pearson, proportion, wilson


def direct_rate(count, total, standard, level=0.95):
    """Rate that a group would have with the case mix of a standard population.

    count, total : arrays (..., strata), animals with the outcome and all, by case-mix stratum
    standard  : array (strata,), animals of the standard population, or any weights
    level     : confidence
    Returns     rate, low, high, float arrays (...); covered, float array (...), share of the standard whose strata
                have animals. Where it is under 1 the rate is nan: choose coarser strata, or indirect_ratio
    Raises      ValueError: a count is negative or exceeds its total, or the standard is empty
    Source      limits: Zou, Huang & Zhang (2009) Comput Stat Data Anal 53:1080-1085, from Wilson's
    """
    count, total = as_part_and_total(count, total)
    weights = as_weights(standard, count.shape[-1])
    used = weights > 0
    count, total, weights = count[..., used], total[..., used], weights[used]
    share, (low, high) = proportion(count, total), wilson(count, total, level)
    rate = (weights * share).sum(axis=-1)
    below = np.sqrt((weights**2 * (share - low) ** 2).sum(axis=-1))
    above = np.sqrt((weights**2 * (high - share) ** 2).sum(axis=-1))
    return rate, rate - below, rate + above, (weights * (total > 0)).sum(axis=-1)


def expected_count(total, reference_rate):
    """Animals expected with the outcome, had each stratum the reference rate, and the variance of their number.

    total     : array (..., strata), animals of the group by case-mix stratum
    reference_rate : array (strata,), in [0, 1], e.g. of all clinics together
    Returns     expected, variance, float arrays (...); nan where a stratum with animals has no reference rate
    Raises      ValueError: a rate is not within 0 and 1
    """
    total, rate = np.asarray(total, dtype=float), np.asarray(reference_rate, dtype=float)
    if ((rate < 0) | (rate > 1)).any():
        raise ValueError("reference_rate: a rate is not within 0 and 1")
    expected = np.where(total > 0, total * rate, 0.0)
    return expected.sum(axis=-1), np.where(total > 0, expected * (1 - rate), 0.0).sum(axis=-1)


def indirect_ratio(count, total, reference_rate, level=0.95):
    """Observed over expected: 1 if a group did as the reference does with the same case mix.

    Ratios of two groups with different case mixes do not compare with each other, only each with the reference.

    count     : array (...), animals of the group with the outcome
    total     : array (..., strata), animals of the group by case-mix stratum
    reference_rate : array (strata,), in [0, 1]
    level     : confidence
    Returns     ratio, low, high, float arrays (...); nan where nobody is expected with the outcome
    Raises      ValueError: a count exceeds its total, or a rate is not within 0 and 1
    Source      exact limits of the count, conservative for mixed strata: Hoeffding (1956) Ann Math Stat 27:713
    """
    expected, _ = expected_count(total, reference_rate)
    animals = np.asarray(total, dtype=float).sum(axis=-1)
    low, high = clopper_pearson(count, animals, level)
    return divide(count, expected), divide(low * animals, expected), divide(high * animals, expected)


@dataclass(frozen=True)
class MantelHaenszel:
    """A common odds ratio over strata, with its test of no association.

    odds_ratio, low, high, statistic, p_value : floats; nan if the strata cannot tell
    strata : int, strata with both groups and both outcomes
    reason : str, why there is no estimate; "" if there is one
    """

    odds_ratio: float
    low: float
    high: float
    statistic: float
    p_value: float
    strata: int
    reason: str


def mantel_haenszel(count_1, total_1, count_2, total_2, level=0.95):
    """Odds ratio of an outcome, first group against second, common to all strata.

    count_1, total_1, count_2, total_2 : arrays (strata,), animals with the outcome and all
    level     : confidence
    Returns     MantelHaenszel, the test with continuity correction
    Raises      ValueError: a count is negative or exceeds its total
    Source      Mantel & Haenszel (1959); limits of Robins, Breslow & Greenland (1986) Biometrics 42:311-323;
                computed by statsmodels, as mantelhaen.test in R
    """
    # Loaded here, because it takes longer to load than the rest needs to compute.
    from statsmodels.stats.contingency_tables import StratifiedTable

    count_1, total_1 = as_part_and_total(count_1, total_1, "count_1")
    count_2, total_2 = as_part_and_total(count_2, total_2, "count_2")
    tables = np.array([[count_1, total_1 - count_1], [count_2, total_2 - count_2]])
    telling = (tables.sum(axis=0) > 0).all(axis=0) & (tables.sum(axis=1) > 0).all(axis=0)
    tables = tables[:, :, telling]
    concordant, discordant = tables[0, 0] * tables[1, 1], tables[0, 1] * tables[1, 0]
    if not (concordant.any() and discordant.any()):
        reason = (
            "no stratum has both groups and both outcomes"
            if not telling.any()
            else "all odds are 0 or infinite"
        )
        return MantelHaenszel(*[np.nan] * 5, int(telling.sum()), reason)
    pooled = StratifiedTable(tables)
    test = pooled.test_null_odds(correction=True)
    low, high = pooled.oddsratio_pooled_confint(alpha=1 - level)
    return MantelHaenszel(
        pooled.oddsratio_pooled, low, high, test.statistic, test.pvalue, int(telling.sum()), ""
    )
