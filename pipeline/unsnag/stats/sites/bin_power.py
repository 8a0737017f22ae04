"""How long until an effect of the bins could be seen, or whether ever."""

import numpy as np
from scipy.stats import nct, norm
from scipy.stats import t as student

from unsnag.stats.arguments import as_counts, divide, tail_probability
from unsnag.stats.sites.bin_effect import FEWEST_DEGREES


def power_after(
    years, ratio, tackle_yearly, other_yearly, is_bin, before_years, *, between_sites_variance=0.0, level=0.95
):
    """Chance that the limits of bin_effect() exclude 1, for one stratum of sites.

    years     : float array (y,), >= 0, years of record after the bins
    ratio     : float, > 0, true ratio of tackle rates, e.g. 0.7
    tackle_yearly, other_yearly : float arrays (s,), expected yearly rescues at each site without a bin
    is_bin    : bool array (s,)
    before_years : float, > 0, years of record before, the deciding period left out
    between_sites_variance : float, of the log change from site to site, as BinEffect has it
    level     : confidence of the limits
    Returns     float array (y,), 0 to 1; 0 where too few sites to tell
    Raises      ValueError: lengths differ, a rate is negative, or the ratio or the years before are not above 0
    Source      Normal approximation to the conditional likelihood; checked by simulation.
    """
    tackle_yearly, other_yearly, is_bin = as_counts(
        tackle_yearly=tackle_yearly, other_yearly=other_yearly, is_bin=is_bin
    )
    if not (ratio > 0 and before_years > 0):
        raise ValueError(f"ratio {ratio} and before_years {before_years} must be above 0")
    years, degrees = np.atleast_1d(np.asarray(years, dtype=float)), is_bin.size - 2
    if degrees < FEWEST_DEGREES or not 0 < is_bin.sum() < is_bin.size:
        return np.zeros(years.size)
    yearly = np.array([tackle_yearly, other_yearly])
    information = np.array([_information(one, ratio, yearly, is_bin, before_years) for one in years])
    away, widened = _distance(information, is_bin, between_sites_variance)
    limit, away = student.isf(tail_probability(level), degrees) * widened, abs(np.log(ratio)) * away
    return np.where(years > 0, nct.sf(limit, degrees, away) + nct.cdf(-limit, degrees, away), 0.0)


def _information(years, ratio, yearly, is_bin, before_years):
    """Information of each site's own change: one over the sum of one over its four expected counts."""
    if not years > 0:
        return np.zeros(is_bin.size)
    after = yearly * years * np.array([np.where(is_bin == 1, ratio, 1), np.ones(is_bin.size)])
    with np.errstate(divide="ignore"):
        return 1 / (1 / (yearly * before_years) + 1 / after).sum(axis=0)


def _distance(information, is_bin, between):
    """Standard errors in one unit of the log ratio, and how much wider the limits are drawn than they need be.

    The variance between sites is never estimated below 0, so that on average it is estimated too high.
    """
    at_bins = divide((information * is_bin).sum(axis=1), information.sum(axis=1))
    own = (is_bin - at_bins[:, None]) ** 2
    spread = divide(np.sqrt(2 * is_bin.size), (information / (1 + between * information)).sum(axis=1))
    estimated = between * norm.cdf(between / spread) + spread * norm.pdf(between / spread)
    true_variance = (own * (information + between * information**2)).sum(axis=1)
    estimated_variance = (own * (information + estimated[:, None] * information**2)).sum(axis=1)
    away = divide((own * information).sum(axis=1), np.sqrt(true_variance))
    return away, np.sqrt(divide(estimated_variance, true_variance))


def years_until_seen(
    ratio,
    tackle_yearly,
    other_yearly,
    is_bin,
    before_years,
    *,
    power=0.8,
    most_years=30.0,
    step=0.25,
    **settings,
):
    """Years of record after the bins until an effect of this size is likely seen.

    ratio, tackle_yearly, other_yearly, is_bin, before_years : as power_after()
    power     : float, 0 to 1, how likely it shall be seen
    most_years : float, years to look ahead
    step      : float, years
    settings  : between_sites_variance and level, as power_after()
    Returns     float, years; inf if not within most_years
    Raises      ValueError: as power_after()
    """
    years = np.arange(step, most_years + step / 2, step)
    chance = power_after(years, ratio, tackle_yearly, other_yearly, is_bin, before_years, **settings)
    seen = chance >= power
    return float(years[seen.argmax()]) if seen.any() else float("inf")
