"""Convalescence of freshwater turtles after a coeliotomy: when each milestone came."""

import pandas as pd

from unsnag.stats.quantiles import quartiles

TITLE = "Convalescence after coeliotomy, freshwater turtles"
QUESTION = "How many days after the operation did freshwater turtles reach each milestone of convalescence?"
CAUTION = (
    "Only turtles that reached a milestone, and whose clinic wrote down the day, are described. The windows beside it "
    "are common practice without a source, not a rule that a clinic broke."
)
COLUMNS = {
    "milestone": "the milestone: a row of convalescence_window.csv",
    "operated": "freshwater turtles with a dated coeliotomy",
    "animals": "of these, with a dated milestone after it",
    "clinics": "clinics that they came to",
    "median_days": "median days after the last coeliotomy",
    "quartile_low": "first quartile, days",
    "quartile_high": "third quartile, days",
    "from_days": "first day of the window of common practice",
    "until_days": "last day of the window; empty if it has no end",
    "within": "animals whose milestone came within the window",
}
COUNTS = """
select
    windows.milestone, milestones.days_after, windows.from_days::integer as from_days,
    windows.until_days::integer as until_days,
    count(*) as animals, list(distinct milestones.clinic) as clinics,
    (select count(*) from mart.milestones where milestone = 'operation') as operated
from mart.milestones as milestones
inner join codes.convalescence_window as windows on milestones.milestone = windows.milestone
group by all
order by from_days, windows.milestone, days_after
"""


def compute(mart):
    """One row per milestone that any animal reached."""
    groups = mart.frame(COUNTS).groupby("milestone", sort=False)
    return pd.DataFrame([_row(name, rows) for name, rows in groups], columns=list(COLUMNS))


def _row(milestone, rows):
    first, last = rows["from_days"].iloc[0], rows["until_days"].iloc[0]
    is_within = (rows["days_after"] >= first) & (pd.isna(last) | (rows["days_after"] <= last))
    low, median, high = quartiles(rows["days_after"], rows["animals"])
    clinics = len(set().union(*rows["clinics"]))
    counts = rows["operated"].iloc[0], rows["animals"].sum(), clinics
    return milestone, *counts, median, low, high, first, last, rows["animals"][is_within].sum()
