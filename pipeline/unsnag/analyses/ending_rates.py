"""Release, unassisted death, euthanasia and permanent care side by side, among animals whose case is resolved."""

import numpy as np

from unsnag.stats.bounds import unresolved_bounds
from unsnag.stats.proportions import clopper_pearson, wilson

TITLE = "How resolved cases ended"
QUESTION = (
    "Of the live admissions whose case is resolved, what share was released, died, was euthanased or kept?"
)
CAUTION = (
    "The shares describe the animals that came, not what a treatment did. Cases still in care, transferred out or "
    "unknown are in none of them: see the bounds."
)
COLUMNS = {
    "grouping": "the baseline feature by which cases are grouped; 'all' is every tackle case",
    "group_code": "the shared code of the group",
    "convention": "who is counted: resolved, or resolved_with_captive, a code of release_convention.csv",
    "ending": "released, died (without euthanasia), euthanased or captive (kept for good)",
    "clinics": "clinics with at least one animal in the denominator",
    "count": "animals that ended so",
    "total": "animals counted at all",
    "unresolved": "live admissions still in care, transferred out without a link, or of unknown ending",
    "percent": "count in percent of total",
    "wilson_low": "lower 95 % limit, Wilson, percent",
    "wilson_high": "upper 95 % limit, Wilson, percent",
    "exact_low": "lower 95 % limit, exact (Clopper-Pearson), percent",
    "exact_high": "upper 95 % limit, exact (Clopper-Pearson), percent",
    "bound_low": "percent if no unresolved animal ended so",
    "bound_high": "percent if every unresolved animal ended so",
}

COUNTS = """
with conventions as (
    select unnest(['resolved', 'resolved_with_captive']) as convention
),
spread as (
    select
        cells.*, conventions.convention,
        cells.outcome_class in ('pending', 'transferred', 'unknown')
            and cells.outcome_timing_code <> 'before_admission' as is_unresolved,
        roles.outcome_class is not null as is_counted
    from mart.rate_cells as cells
    cross join conventions
    left join mart.convention_roles as roles
        on roles.convention = conventions.convention and roles.outcome_class = cells.outcome_class
        and roles.outcome_timing_code = cells.outcome_timing_code
),
totals as (
    select
        grouping, group_code, convention,
        count(distinct clinic) filter (where is_counted) as clinics,
        coalesce(sum(animals) filter (where is_counted), 0)::bigint as total,
        coalesce(sum(animals) filter (where is_unresolved), 0)::bigint as unresolved
    from spread
    group by all
),
endings as (
    select distinct convention, outcome_class as ending
    from mart.convention_roles
    where convention in ('resolved', 'resolved_with_captive')
)
select
    totals.grouping, totals.group_code, totals.convention, endings.ending, totals.clinics, totals.total,
    totals.unresolved, coalesce(sum(spread.animals), 0)::bigint as count
from totals
inner join endings using (convention)
left join spread
    on spread.grouping = totals.grouping and spread.group_code = totals.group_code
    and spread.convention = totals.convention and spread.outcome_class = endings.ending and spread.is_counted
group by all
order by all
"""


def compute(mart):
    """One row per grouping, group, convention and ending.

    Source  Molina-López et al. (2013) PLoS ONE 8(4):e60242 and Orós et al. (2016) PLoS ONE 11(2):e0149398 publish
            these rates; the second without captivity
    """
    frame = mart.frame(COUNTS)
    count, total = frame["count"].to_numpy(), frame["total"].to_numpy()
    rate, low, high = unresolved_bounds(count, total, frame["unresolved"].to_numpy())
    frame["percent"], frame["bound_low"], frame["bound_high"] = 100 * rate, 100 * low, 100 * high
    for name, limits in (("wilson", wilson(count, total)), ("exact", clopper_pearson(count, total))):
        frame[f"{name}_low"], frame[f"{name}_high"] = (100 * np.asarray(limit) for limit in limits)
    return frame[list(COLUMNS)]
