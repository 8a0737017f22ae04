"""How long cases stayed: quartiles of whole days by ending."""

import pandas as pd

from unsnag.stats.quantiles import quartiles

TITLE = "Length of stay"
QUESTION = "How long were the animals in care that ended so?"
CAUTION = (
    "It describes the animals that ended so; those still in care are not in it, so the newest years look shorter "
    "than they will be."
)
COLUMNS = {
    "grouping": "the baseline feature by which cases are grouped; 'all' is every tackle case",
    "group_code": "the shared code of the group",
    "ending": "how they ended",
    "animals": "live admissions that ended so, with a known day",
    "clinics": "clinics that they came to",
    "median_days": "median stay, days",
    "quartile_low": "first quartile of the stay, days",
    "quartile_high": "third quartile of the stay, days",
    "longest_days": "longest stay, days",
}
COUNTS = """
select grouping, group_code, outcome_class as ending, stay_days, sum(animals)::bigint as animals
from mart.ending_days
where outcome_class in ('released', 'died', 'euthanased')
group by all
order by all
"""
CLINICS = """
select grouping, group_code, outcome_class as ending, count(distinct clinic) as clinics
from mart.ending_days
group by all
"""


def compute(mart):
    """One row per group and ending."""
    key = ["grouping", "group_code", "ending"]
    clinics = mart.frame(CLINICS).set_index(key)["clinics"]
    rows = [
        (*names, rows["animals"].sum(), clinics[names], *_quartiles(rows), rows["stay_days"].max())
        for names, rows in mart.frame(COUNTS).groupby(key, sort=True)
    ]
    return pd.DataFrame(rows, columns=list(COLUMNS))


def _quartiles(rows):
    low, median, high = quartiles(rows["stay_days"], rows["animals"])
    return median, low, high
