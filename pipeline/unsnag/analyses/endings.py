"""How cases ended, day by day: endings that compete, from first admission."""

import numpy as np
import pandas as pd

from unsnag.stats.incidence import incidence_from_counts
from unsnag.stats.risk_counts import risk_counts

TITLE = "How cases ended, day by day"
QUESTION = (
    "What share of the animals admitted alive had been released, had died or had been euthanased by each day?"
)
CAUTION = (
    "Endings compete: an animal that died can no longer be released. Animals still in care, transferred out or "
    "unknown count for as long as they were seen. Groups are what was there at admission, never what was done."
)
COLUMNS = {
    "grouping": "the baseline feature by which cases are grouped; 'all' is every tackle case",
    "group_code": "the shared code of the group",
    "ending": "released, died, euthanased, or other (kept for good, escaped, given back)",
    "day": "whole days from first admission",
    "incidence": "share that had ended so by the day, percent",
    "low": "lower 95 % limit on the log(-log) scale, percent",
    "high": "upper 95 % limit on the log(-log) scale, percent",
    "at_risk": "animals still in care on the day, those who end on it included",
    "animals": "live admissions of the group with a known day",
    "clinics": "clinics that they came to",
}
CAUSES = ("released", "died", "euthanased", "other")
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
CLINICS = """
select grouping, group_code, count(distinct clinic) as clinics
from mart.ending_days
group by all
order by all
"""


def compute(mart):
    """One row per group, ending and day on which something changed, day 0 first."""
    clinics = mart.frame(CLINICS).set_index(["grouping", "group_code"])["clinics"]
    groups = mart.frame(COUNTS).groupby(["grouping", "group_code"], sort=True)
    frames = [
        curves(rows).assign(grouping=key[0], group_code=key[1], clinics=clinics[key]) for key, rows in groups
    ]
    return pd.concat(frames)[list(COLUMNS)] if frames else pd.DataFrame(columns=list(COLUMNS))


def curves(rows):
    """The incidence of one group from its counts, in percent.

    rows : frame with stay_days, entry_days, ending, animals
    """
    animals = rows["animals"].to_numpy()
    counts = risk_counts(
        rows["stay_days"], rows["ending"], CAUSES, entry_days=rows["entry_days"], weights=animals
    )
    curve = incidence_from_counts(counts.days, counts.at_risk[0], counts.events[0])
    of_ending = [
        pd.DataFrame(
            {
                "ending": cause,
                "day": curve.days,
                "incidence": 100 * curve.incidence[number],
                "low": 100 * curve.low[number],
                "high": 100 * curve.high[number],
                "at_risk": curve.at_risk.astype(int),
            }
        )
        for number, cause in enumerate(CAUSES)
    ]
    return pd.concat([_changes(frame) for frame in of_ending]).assign(animals=int(animals.sum()))


def _changes(frame):
    """Only the days on which the curve steps, and the first and last: the rest repeats them."""
    steps = frame["incidence"].diff().fillna(1).ne(0).to_numpy()
    steps[[0, -1]] = True
    return frame[steps & ~np.isnan(frame["incidence"].to_numpy())]
