"""Animals like the one on the table: for every kind of case that came often enough, how they ended, and when."""

import numpy as np
import pandas as pd

from unsnag.stats.clustering import clustered_rate
from unsnag.stats.incidence import incidence_at, incidence_from_counts
from unsnag.stats.proportions import wilson
from unsnag.stats.quantiles import weighted_quantiles
from unsnag.stats.risk_counts import risk_counts

TITLE = "Animals like this one"
QUESTION = "Of the animals that came with such an injury, how many ended how, and after how many days?"
CAUTION = (
    "What became of animals that were alike in four things is no forecast for one that differs in a hundred. They had "
    "the clinics' usual care; the figures say nothing of what another treatment would have done."
)
AXES = ["injury_code", "body_site_code", "taxon_group_code", "severity_code"]
KEY = ["rank", *AXES]
KEYED = {
    "rank": "how near the likeness is, 1 the nearest: the rank of like_order.csv",
    "injury_code": "how the tackle injured, or 'all'",
    "body_site_code": "where in the body, or 'all'",
    "taxon_group_code": "the animals, or 'all'",
    "severity_code": "how grave, or 'all'",
}
TABLES = {
    "animals_like_this": KEYED
    | {
        "animals": "live admissions",
        "clinics": "clinics that they came to",
        "released": "of these, released",
        "died": "of these, died without euthanasia",
        "euthanased": "of these, euthanased",
        "other_known": "of these, ended otherwise (kept for good, escaped, given back)",
        "unresolved": "of these, still in care, transferred out or unknown",
        "percent_released": "released in percent of released, died and euthanased",
        "wilson_low": "lower 95 % limit, Wilson, percent",
        "wilson_high": "upper 95 % limit, Wilson, percent",
        "clustered_low": "lower 95 % limit that allows for clinics (CR2), percent",
        "clustered_high": "upper 95 % limit that allows for clinics (CR2), percent",
        "quartile_low": "first quartile of the stay among the released, days",
        "median_days": "median stay among the released, days",
        "quartile_high": "third quartile of the stay among the released, days",
    },
    "animals_like_this_days": KEYED
    | {
        "day": "whole days from first admission",
        "released": "share released by then (Aalen-Johansen), percent",
        "released_low": "its lower 95 % limit on the log(-log) scale, percent",
        "released_high": "its upper 95 % limit on the log(-log) scale, percent",
        "dead": "share died or euthanased by then, percent",
        "dead_low": "its lower 95 % limit on the log(-log) scale, percent",
        "dead_high": "its upper 95 % limit on the log(-log) scale, percent",
    },
}
LOOKED_AT = (7, 28, 90)  # and the network's horizon
RESOLVED = ["released", "died", "euthanased"]
CAUSES = ("released", "dead", "other")
COUNTS = """
select
    rank, injury_code, body_site_code, taxon_group_code, severity_code, clinic,
    sum(animals)::bigint as animals,
    coalesce(sum(animals) filter (where outcome_class = 'released'), 0)::bigint as released,
    coalesce(sum(animals) filter (where outcome_class = 'died'), 0)::bigint as died,
    coalesce(sum(animals) filter (where outcome_class = 'euthanased'), 0)::bigint as euthanased,
    coalesce(sum(animals) filter (where outcome_class in ('captive', 'other_known')), 0)::bigint as other_known,
    coalesce(sum(animals) filter (
        where outcome_class in ('pending', 'transferred', 'unknown')
    ), 0)::bigint as unresolved
from mart.like_cells
group by all
order by all
"""
DAYS = """
select
    rank, injury_code, body_site_code, taxon_group_code, severity_code, stay_days, entry_days,
    case
        when outcome_class = 'released' then 'released'
        when outcome_class in ('died', 'euthanased') then 'dead'
        when outcome_class in ('captive', 'other_known') then 'other'
        else ''
    end as ending,
    sum(animals)::bigint as animals
from mart.like_cells
where is_day_known
group by all
order by all
"""


def compute(mart):
    """One row per group that clears the floor for a percentage; and one per group and day looked at.

    Source  incidence: stats.incidence; limits: stats.proportions, stats.clustering
    """
    counts = mart.frame(COUNTS)
    groups = rates(counts, mart.settings["minimum_for_percentage"])
    days = mart.frame(DAYS).merge(groups[KEY], on=KEY)
    groups = groups.merge(stays(days), on=KEY, how="left")
    by_day = at_days(days, sorted({*LOOKED_AT, mart.settings["horizon_days"]}))
    return {"animals_like_this": groups[list(TABLES["animals_like_this"])], "animals_like_this_days": by_day}


def rates(counts, minimum):
    """Counts and release rate of the groups with ``minimum`` resolved animals or more; counts : frame of COUNTS."""
    sums = counts.groupby(KEY, sort=True, as_index=False).agg(
        clinics=("clinic", "nunique"),
        **{name: (name, "sum") for name in ("animals", *RESOLVED, "other_known", "unresolved")},
    )
    sums = sums[sums[RESOLVED].sum(axis=1) >= minimum].reset_index(drop=True)
    count, total = sums["released"].to_numpy(), sums[RESOLVED].sum(axis=1).to_numpy()
    low, high = wilson(count, total)
    sums = sums.assign(percent_released=100 * count / total, wilson_low=100 * low, wilson_high=100 * high)
    if sums.empty:
        return sums.assign(clustered_low=np.nan, clustered_high=np.nan)
    known = counts.merge(sums[KEY], on=KEY)
    known["resolved"] = known[RESOLVED].sum(axis=1)
    wide = known.pivot_table(["released", "resolved"], KEY, "clinic", "sum", fill_value=0)
    pooled = clustered_rate(wide["released"].to_numpy(), wide["resolved"].to_numpy())
    return sums.assign(clustered_low=100 * pooled.low, clustered_high=100 * pooled.high)


def stays(days):
    """Quartiles of the stay of the released; days : frame of DAYS."""
    released = days[days["ending"] == "released"]
    rows = [
        (*key, *weighted_quantiles(group["stay_days"], group["animals"], (0.25, 0.5, 0.75)))
        for key, group in released.groupby(KEY, sort=True)
    ]
    return pd.DataFrame(rows, columns=[*KEY, "quartile_low", "median_days", "quartile_high"])


def at_days(days, wanted):
    """Incidence of release and of death on the wanted days, one row per group and day; days : frame of DAYS."""
    columns = list(TABLES["animals_like_this_days"])
    if days.empty:
        return pd.DataFrame(columns=columns)
    groups = days[KEY].drop_duplicates().reset_index(drop=True)
    number = days[KEY].merge(groups.reset_index(names="number"), on=KEY)["number"]
    counts = risk_counts(
        days["stay_days"], days["ending"], CAUSES, number, days["entry_days"], days["animals"]
    )
    curve = incidence_from_counts(counts.days, counts.at_risk, counts.events)
    share, low, high = (100 * values for values in incidence_at(curve, wanted))
    frames = []
    for place, day in enumerate(wanted):
        frame = groups.assign(day=day)
        for cause, name in enumerate(("released", "dead")):
            frame[name] = share[:, cause, place]
            frame[f"{name}_low"], frame[f"{name}_high"] = low[:, cause, place], high[:, cause, place]
        frames.append(frame)
    return pd.concat(frames).sort_values([*KEY, "day"], kind="stable")[columns]
