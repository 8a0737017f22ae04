"""Gray's test between the groups of each baseline feature, within clinics, for each ending."""

import pandas as pd

from unsnag.stats.emulation.multiplicity import benjamini_hochberg
from unsnag.stats.gray import gray_test

ENDINGS = ("released", "died", "euthanased")
CAUSES = (*ENDINGS, "other")
COLUMNS = {
    "grouping": "the baseline feature whose groups are compared",
    "ending": "the ending whose incidence is compared",
    "groups": "groups compared: those with enough animals, 'not stated' left out",
    "animals": "live admissions in them",
    "endings": "endings of this kind among them",
    "statistic": "chi squared of Gray's test, stratified by clinic",
    "degrees_of_freedom": "its degrees of freedom",
    "p_value": "chance of a statistic so large if the groups were alike",
    "adjusted_p": "the same, adjusted for all tests of this table (Benjamini-Hochberg)",
    "tests": "tests in this table",
    "reason": "why there is no statistic, or empty",
}
COUNTS = """
with sizes as (
    select grouping, group_code from mart.ending_days group by all having sum(animals) >= $minimum
)
select
    grouping, group_code, clinic, stay_days,
    case
        when outcome_class in ('released', 'died', 'euthanased') then outcome_class
        when outcome_class in ('captive', 'other_known') then 'other'
        else ''
    end as ending,
    sum(animals)::bigint as animals
from mart.ending_days
inner join sizes using (grouping, group_code)
where grouping <> 'all' and group_code <> 'not_stated' and entry_days = 0
group by all
order by all
"""


def compute(mart):
    """One row per feature and ending.

    Source  Gray (1988), as in stats/gray; Benjamini & Hochberg (1995)
    """
    rows = mart.frame(COUNTS, minimum=mart.settings["minimum_for_percentage"])
    told = [_row(name, cells, of) for name, cells in rows.groupby("grouping", sort=True) for of in ENDINGS]
    frame = pd.DataFrame(told, columns=[name for name in COLUMNS if name not in ("adjusted_p", "tests")])
    adjusted = benjamini_hochberg(frame["p_value"]) if told else []
    return frame.assign(adjusted_p=adjusted, tests=frame["p_value"].notna().sum())[list(COLUMNS)]


def _row(grouping, cells, of):
    columns = (cells[name].to_numpy() for name in ("stay_days", "ending", "group_code"))
    test = gray_test(
        *columns, of, CAUSES, stratum=cells["clinic"].to_numpy(), animals=cells["animals"].to_numpy()
    )
    endings = cells.loc[cells["ending"] == of, "animals"].sum()
    sizes = len(test.groups), cells["animals"].sum(), endings
    return grouping, of, *sizes, test.statistic, test.degrees_of_freedom, test.p_value, test.reason
