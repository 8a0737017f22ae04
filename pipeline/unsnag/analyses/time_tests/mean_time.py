"""Restricted mean time: of the days up to a horizon, how many in care, and how many after each ending."""

import numpy as np
import pandas as pd

from unsnag.stats.arguments import normal_quantile
from unsnag.stats.risk_counts import risk_counts
from unsnag.stats.time_lost import time_lost

CAUSES = ("released", "died", "euthanased", "other")
COLUMNS = {
    "grouping": "the baseline feature by which cases are grouped; 'all' is every tackle case",
    "group_code": "the shared code of the group",
    "state": "in_care, or after an ending: released, died, euthanased, other",
    "horizon_days": "whole days from first admission up to which days are counted",
    "animals": "live admissions of the group with a known day",
    "days": "mean days in the state up to the horizon; the states of a group add up to the horizon",
    "low": "lower 95 % limit (normal), days",
    "high": "upper 95 % limit (normal), days",
    "reason": "why there is no mean, or empty",
}
COUNTS = """
select
    grouping, group_code, stay_days, entry_days,
    case
        when outcome_class in ('released', 'died', 'euthanased') then outcome_class
        when outcome_class in ('captive', 'other_known') then 'other'
        else ''
    end as ending,
    sum(animals)::bigint as animals
from mart.ending_days
group by all
order by all
"""


def compute(mart):
    """One row per group and state."""
    horizon = mart.settings["horizon_days"]
    groups = mart.frame(COUNTS).groupby(["grouping", "group_code"], sort=True)
    frames = [
        states(rows, horizon).assign(grouping=key[0], group_code=key[1], horizon_days=horizon)
        for key, rows in groups
    ]
    return pd.concat(frames)[list(COLUMNS)] if frames else pd.DataFrame(columns=list(COLUMNS))


def states(rows, horizon):
    """Mean days of one group in each state, with limits.

    rows    : frame with stay_days, entry_days, ending, animals
    horizon : whole days
    """
    counts = risk_counts(
        rows["stay_days"], rows["ending"], CAUSES, entry_days=rows["entry_days"], weights=rows["animals"]
    )
    mean = time_lost(counts.days, counts.at_risk[0], counts.events[0], horizon)
    days = np.array([mean.in_care, *mean.lost])
    spread = normal_quantile(0.95) * np.sqrt(np.maximum([mean.in_care_variance, *mean.lost_variance], 0))
    return pd.DataFrame(
        {
            "state": ["in_care", *CAUSES],
            "animals": rows["animals"].sum(),
            "days": days,
            "low": np.maximum(days - spread, 0),
            "high": np.minimum(days + spread, horizon),
            "reason": str(mean.reason),
        }
    )
