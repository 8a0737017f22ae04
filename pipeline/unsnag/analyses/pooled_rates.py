"""Release pooled over clinics: limits that allow for clinics, groups against the rest, small groups shrunken."""

import numpy as np
import pandas as pd

from unsnag.stats.clustering import clustered_difference, clustered_rate
from unsnag.stats.proportions import newcombe_difference, risk_ratio
from unsnag.stats.shrinkage import shrink_rates

TITLE = "Release rates, pooled over clinics"
QUESTION = (
    "How many of the resolved live admissions were released, how sure is that where clinics differ, and how does "
    "each group stand beside the rest?"
)
CAUTION = (
    "Groups differ in more than their name: a difference describes, it explains nothing. A shrunken rate is a better "
    "guess of a small group's rate than what was counted, if the groups are alike."
)
COLUMNS = {
    "grouping": "the baseline feature by which cases are grouped; 'all' is every tackle case",
    "group_code": "the shared code of the group",
    "clinics": "clinics with at least one animal in the denominator",
    "numerator": "animals released",
    "denominator": "animals released, died or euthanased (admitted alive)",
    "percent": "numerator in percent of denominator",
    "clustered_low": "lower 95 % limit that allows for clinics (CR2), percent",
    "clustered_high": "upper 95 % limit that allows for clinics (CR2), percent",
    "degrees_of_freedom": "of these limits: clinics less one, or fewer where a few clinics hold most animals",
    "clustered_reason": "why there are no such limits; empty if there are",
    "shrunken": "the group's rate drawn towards that of a typical group, percent",
    "shrunken_low": "its lower 95 % limit, percent",
    "shrunken_high": "its upper 95 % limit, percent",
    "shrunken_reason": "why nothing was shrunk; empty if it was",
    "difference": "percent less that of the grouping's other stated groups, percentage points",
    "difference_low": "its lower 95 % limit (Newcombe), percentage points",
    "difference_high": "its upper 95 % limit (Newcombe), percentage points",
    "clustered_difference_low": "its lower 95 % limit that allows for clinics (CR2), percentage points",
    "clustered_difference_high": "its upper 95 % limit that allows for clinics (CR2), percentage points",
    "ratio": "rate over that of the other stated groups",
    "ratio_low": "its lower 95 % limit (log scale)",
    "ratio_high": "its upper 95 % limit (log scale)",
}
NOT_COMPARED = ("all", "all_causes", "admission_year")  # years have an analysis of their own
SILENT = ("not_stated", "unmapped")
COUNTS = """
select
    cells.grouping, cells.group_code, cells.clinic,
    coalesce(sum(cells.animals) filter (where roles.is_numerator), 0)::bigint as released,
    coalesce(sum(cells.animals) filter (where roles.is_numerator is not null), 0)::bigint as resolved
from mart.rate_cells as cells
left join mart.convention_roles as roles
    on roles.convention = 'resolved' and roles.outcome_class = cells.outcome_class
    and roles.outcome_timing_code = cells.outcome_timing_code
group by all
order by all
"""


def compute(mart):
    """One row per grouping and group.

    Source  limits: stats.clustering; shrinkage: stats.shrinkage; differences: stats.proportions
    """
    counts = mart.frame(COUNTS)
    clinics = sorted(counts["clinic"].unique())
    frames = [_grouping(rows, clinics) for _, rows in counts.groupby("grouping", sort=True)]
    return pd.concat(frames)[list(COLUMNS)] if frames else pd.DataFrame(columns=list(COLUMNS))


def _grouping(rows, clinics):
    """All columns of one grouping, one row a group."""
    wide = rows.pivot_table(["released", "resolved"], "group_code", "clinic", "sum", fill_value=0)
    count, total = (
        wide[name].reindex(columns=clinics, fill_value=0).to_numpy() for name in ("released", "resolved")
    )
    frame = pd.DataFrame({"grouping": rows["grouping"].iloc[0], "group_code": wide.index})
    frame = frame.assign(**_pooled(count, total))
    is_stated = ~frame["group_code"].isin(SILENT).to_numpy()
    is_compared = is_stated & (frame["grouping"].iloc[0] not in NOT_COMPARED) & (is_stated.sum() > 1)
    compared = pd.DataFrame(
        _against_the_rest(count[is_compared], total[is_compared]), index=np.flatnonzero(is_compared)
    )
    return frame.join(compared).fillna({"shrunken_reason": "", "clustered_reason": ""})


def _pooled(count, total):
    """Rates with limits that allow for clinics; count, total : int arrays (groups, clinics)."""
    pooled = clustered_rate(count, total)
    return {
        "clinics": (total > 0).sum(axis=1),
        "numerator": count.sum(axis=1),
        "denominator": total.sum(axis=1),
        "percent": 100 * pooled.estimate,
        "clustered_low": 100 * pooled.low,
        "clustered_high": 100 * pooled.high,
        "degrees_of_freedom": np.where(np.isnan(pooled.low), np.nan, pooled.degrees_of_freedom),
        "clustered_reason": pooled.reason,
    }


def _against_the_rest(count, total):
    """Each group against the other groups together, and shrunken; count, total : int arrays (groups, clinics)."""
    rest_count, rest_total = count.sum(axis=0) - count, total.sum(axis=0) - total
    sums = [array.sum(axis=1) for array in (count, total, rest_count, rest_total)]
    shrunken = shrink_rates(sums[0], sums[1])
    difference, low, high = newcombe_difference(*sums)
    clustered = clustered_difference(count, total, rest_count, rest_total)
    ratio, ratio_low, ratio_high = risk_ratio(*sums)
    return {
        "shrunken": 100 * shrunken.shrunken,
        "shrunken_low": 100 * shrunken.low,
        "shrunken_high": 100 * shrunken.high,
        "shrunken_reason": shrunken.reason,
        "difference": 100 * difference,
        "difference_low": 100 * low,
        "difference_high": 100 * high,
        "clustered_difference_low": 100 * clustered.low,
        "clustered_difference_high": 100 * clustered.high,
        "ratio": ratio,
        "ratio_low": ratio_low,
        "ratio_high": ratio_high,
    }
