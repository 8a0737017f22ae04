"""Whether the bins helped: tackle cases before and after, against sites that never had a bin."""

from typing import NamedTuple

import numpy as np
import pandas as pd

from unsnag.analyses.site_expected import as_day
from unsnag.stats.sites.bin_effect import ESTIMATED
from unsnag.stats.sites.bin_periods import (
    DECISION_DAYS,
    before_and_after,
    periods_effect,
    placebo_effects,
    regression_to_the_mean,
)
from unsnag.stats.sites.bin_power import power_after, years_until_seen
from unsnag.stats.sites.comparable import comparable_sites

TITLE = "Whether the bins helped"
QUESTION = "Did tackle cases fall where bins were put, more than at comparable sites without one?"
CAUTION = (
    "Bins are put where last year was bad, and a bad year is followed by a better one, bin or no bin: the year that "
    "siting was decided on is left out. What else changed at a site when its bin came is not in the records."
)
POOLED = "all bins"
HALVED = 0.5
LEAST_AFTER_YEARS = 1
AHEAD_YEARS = 10
RATIOS = np.arange(0.9, 0.05, -0.05).round(2)
LIKELY = 0.8
EARLIER_DAYS = (182, 365, 547)
LEAST_BEFORE_DAYS = 180
MOST_COMPARED = 8
LIMITS = {"ratio": "ratio", "low": "low", "high": "high", "p_value": "p_value"}
TABLES = {
    "bin_effects": {
        "bin_id": f"the bin, or '{POOLED}'",
        "ratio": "tackle among rescues after over before, over the same at comparable sites; 1 is no effect",
        "low": "lower 95 % limit",
        "high": "upper 95 % limit",
        "p_value": "two-sided, of no effect",
        "bin_sites": "sites with a bin that could say something",
        "comparison_sites": "sites without one that could",
        "years_before": "years of record before the siting was decided on",
        "years_after": "years of record with the bin",
        "years_until_seen": "years with the bin until a halving would be seen in 8 of 10 such records; empty: over 30",
        "seen_in_ten_years": "weakest true ratio that ten years with the bin would likely show; empty: none to 0.1",
        "naive_ratio": "tackle cases a year with the bin over those of the deciding period: what not to look at",
        "chance_ratio": "the same had there been no bin: chance alone, after a bad year",
        "verdict": "what may be said of it",
    },
    "bin_placebos": {
        "days_earlier": "days before the real siting at which bins were pretended",
        "ratio": "as in bin_effects, with no bin there: 1 but for chance",
        "low": "lower 95 % limit",
        "high": "upper 95 % limit",
        "p_value": "two-sided, of no effect",
        "bin_sites": "sites with a pretended bin that could say something",
        "comparison_sites": "sites without one that could",
        "says": "whether it could be estimated",
    },
}
SITES = "select site_id, first_day, last_day from mart.sites order by site_id"
BINS = """
select bins.bin_id, bins.site_id, min(periods.period_from) as first_day, bins.installed as installed_day,
    max(periods.period_to) as last_day, max(periods.period_from) filter (where period = 'deciding') as decided_day
from mart.bins as bins inner join mart.bin_periods as periods on bins.bin_id = periods.bin_id
group by all having last_day >= installed_day order by bins.bin_id
"""
EVER = "select distinct site_id from mart.bins"
RESCUES = """
select site_id, incident_date, is_tackle from mart.incidents
where is_compared and site_id is not null order by incident_id
"""


class Record(NamedTuple):
    """What the sites' rescues and the bins' days are, days as days since 1970."""

    site: np.ndarray  # int (n,), the site of each rescue
    day: np.ndarray  # int (n,)
    is_tackle: np.ndarray  # bool (n,)
    ever: np.ndarray  # bool (s,), sites that ever had a bin


def compute(mart):
    """A frame for each of TABLES."""
    sites, bins = mart.frame(SITES), mart.frame(BINS)
    place = {site_id: number for number, site_id in enumerate(sites["site_id"])}
    days = [column for column in bins if column.endswith("_day")]
    bins = bins.assign(site=bins["site_id"].map(place), **{name: bins[name].map(as_day) for name in days})
    rescues, ever = mart.frame(RESCUES), set(mart.frame(EVER)["site_id"])
    record = Record(
        rescues["site_id"].map(place).to_numpy(dtype=int),
        rescues["incident_date"].map(as_day).to_numpy(dtype=int),
        rescues["is_tackle"].to_numpy(dtype=bool),
        sites["site_id"].isin(ever).to_numpy(dtype=bool),
    )
    if bins.empty:
        return {name: pd.DataFrame(columns=list(columns)) for name, columns in TABLES.items()}
    together = _effect(record, bins)
    rows = [
        (POOLED, *together),
        *((bin_id, *_effect(record, bins[bins["bin_id"] == bin_id])) for bin_id in bins["bin_id"]),
    ]
    return {
        "bin_effects": pd.DataFrame(rows, columns=list(TABLES["bin_effects"])),
        "bin_placebos": pd.DataFrame(_placebos(record, bins), columns=list(TABLES["bin_placebos"])),
    }


def _compared(record, bins):
    """Sites that take part, their stratum and whether they have one of these bins; strata in the bins' order."""
    sites = np.flatnonzero(~record.ever | np.isin(np.arange(record.ever.size), bins["site"]))
    order = {site: number for number, site in enumerate(bins["site"])}
    sites = np.array(sorted(sites, key=lambda site: (order.get(site, len(order)), site)))
    is_bin = np.isin(sites, bins["site"])
    until = bins["decided_day"].min()
    before = (record.day < until) & ~record.is_tackle
    first = bins["first_day"].min()
    others = np.bincount(record.site[before], minlength=record.ever.size)[sites]
    yearly = others * 365.25 / max(until - first, 1)
    # Bins judged together share the sites out among them, each as many as there are to go round.
    most = min(MOST_COMPARED, -(-int((~is_bin).sum()) // len(bins)) or 1)
    stratum = comparable_sites(yearly, np.zeros(sites.size), is_bin, most=most)
    kept = stratum >= 0
    return sites[kept], stratum[kept], is_bin[kept]


def _rescues(record, sites):
    """The rescues of these sites, the sites numbered anew."""
    number = np.full(record.ever.size, -1)
    number[sites] = np.arange(sites.size)
    here = number[record.site] >= 0
    return number[record.site][here], record.day[here], record.is_tackle[here]


def _effect(record, bins):
    """The cells of one row of bin_effects, behind its id."""
    sites, stratum, is_bin = _compared(record, bins)
    days = [bins[name].to_numpy() for name in ("first_day", "installed_day", "last_day", "decided_day")]
    periods = before_and_after(*_rescues(record, sites), stratum, *days)
    effect = periods_effect(periods, is_bin, stratum)
    years = periods.years[:, is_bin].mean(axis=1)
    seen, weakest = _power(periods, is_bin, effect, years[0])
    naive = _regression(periods, is_bin)
    cells = [getattr(effect, part) for part in LIMITS.values()]
    return (
        *cells, effect.bin_sites, effect.comparison_sites, years[0], years[2],
        seen if np.isfinite(seen) else np.nan, weakest, *naive, _verdict(effect, years[2], seen),
    )  # fmt: skip


def _power(periods, is_bin, effect, years_before):
    """How long a halving takes to be seen, and what ten years would show, at the rates of the period before."""
    if not years_before > 0:
        return np.inf, np.nan
    yearly = [np.maximum(counts[0], 0.5) / years_before for counts in (periods.tackle, periods.other)]
    between = 0.0 if np.isnan(effect.between_sites_variance) else effect.between_sites_variance
    given = (*yearly, is_bin, years_before)
    seen = years_until_seen(HALVED, *given, power=LIKELY, between_sites_variance=between)
    shown = [
        ratio
        for ratio in RATIOS.tolist()
        if power_after(AHEAD_YEARS, ratio, *given, between_sites_variance=between)[0] >= LIKELY
    ]
    return seen, max(shown, default=np.nan)


def _regression(periods, is_bin):
    if not (periods.years[0] > 0).all():
        return np.nan, np.nan
    found = regression_to_the_mean(periods, is_bin)
    return found.naive_ratio, found.chance_ratio


def _verdict(effect, years_after, seen):
    """What may be said, by written rules; a halving is the effect that it is judged against."""
    if effect.says != ESTIMATED:
        return "too few cases to tell"
    if effect.high < 1:
        return "fewer tackle cases than without a bin"
    if effect.low > 1:
        return "more tackle cases than without a bin"
    if effect.low > HALVED:
        return "no halving; a smaller effect cannot be told"
    is_early = years_after < LEAST_AFTER_YEARS or years_after < seen < np.inf
    return "too early to tell" if is_early else "cannot be told from so few cases"


def _placebos(record, bins):
    """Effects of bins pretended earlier, where the record before the real siting is long enough for it."""
    for days in EARLIER_DAYS:
        room = bins["decided_day"] - bins["first_day"] >= days + DECISION_DAYS + LEAST_BEFORE_DAYS
        if not room.any():
            continue
        early = bins[room]
        sites, stratum, is_bin = _compared(record, early)
        (effect,) = placebo_effects(
            _rescues(record, sites), stratum, is_bin, early["first_day"].to_numpy(),
            early["decided_day"].to_numpy(), [days],
        )  # fmt: skip
        cells = [getattr(effect, part) for part in LIMITS.values()]
        yield days, *cells, effect.bin_sites, effect.comparison_sites, effect.says
