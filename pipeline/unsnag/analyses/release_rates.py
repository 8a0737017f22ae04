"""How many were released, of whom: every convention beside the others, with limits and bounds."""

import numpy as np

from unsnag.stats.proportions import clopper_pearson, wilson

TITLE = "Release rates"
QUESTION = (
    "Of the animals taken in, how many were released, and how does the answer depend on who is counted?"
)
CAUTION = (
    "A release rate describes the animals that came and the clinics that wrote, not what a treatment did. "
    "Cases still in care, transferred out or unknown are neither successes nor failures: see the bounds."
)
COLUMNS = {
    "grouping": "the baseline feature by which cases are grouped; 'all' is every tackle case",
    "group_code": "the shared code of the group",
    "convention": "who is counted: a code of release_convention.csv",
    "animals": "animals of the group, dead on arrival included",
    "clinics": "clinics with at least one animal in the denominator",
    "numerator": "animals counted as released",
    "denominator": "animals counted at all",
    "percent": "numerator in percent of denominator",
    "wilson_low": "lower 95 % limit, Wilson, percent",
    "wilson_high": "upper 95 % limit, Wilson, percent",
    "exact_low": "lower 95 % limit, exact (Clopper-Pearson), percent",
    "exact_high": "upper 95 % limit, exact (Clopper-Pearson), percent",
    "bound_low": "percent if no unresolved animal were released",
    "bound_high": "percent if every unresolved animal were released",
    "pending": "animals still in care",
    "transferred": "animals transferred out without a link",
    "unknown": "animals whose ending is not known",
}

COUNTS = """
with spread as (
    select
        cells.grouping, cells.group_code, cells.clinic, cells.animals, conventions.code as convention,
        conventions.rank,
        cells.outcome_class in ('pending', 'transferred', 'unknown')
            and cells.outcome_timing_code <> 'before_admission' as is_unresolved,
        cells.outcome_class, roles.is_numerator
    from mart.rate_cells as cells
    cross join (select code, row_number() over () as rank from codes.release_convention) as conventions
    left join mart.convention_roles as roles
        on roles.convention = conventions.code and roles.outcome_class = cells.outcome_class
        and roles.outcome_timing_code = cells.outcome_timing_code
)
select
    grouping, group_code, convention,
    sum(animals)::bigint as animals,
    count(distinct clinic) filter (where is_numerator is not null) as clinics,
    coalesce(sum(animals) filter (where is_numerator), 0)::bigint as numerator,
    coalesce(sum(animals) filter (where is_numerator is not null), 0)::bigint as denominator,
    coalesce(sum(animals) filter (where outcome_class = 'pending'), 0)::bigint as pending,
    coalesce(sum(animals) filter (where outcome_class = 'transferred'), 0)::bigint as transferred,
    coalesce(sum(animals) filter (where outcome_class = 'unknown'), 0)::bigint as unknown,
    coalesce(sum(animals) filter (where is_unresolved and is_numerator is null), 0)::bigint as left_out,
    coalesce(sum(animals) filter (where is_unresolved and is_numerator is distinct from true), 0)::bigint as may_still
from spread
group by grouping, group_code, convention, rank
order by grouping, group_code, rank
"""


def compute(mart):
    """One row per grouping, group and convention.

    Source  conventions: codes/release_convention.csv, each with its own source
    """
    frame = mart.frame(COUNTS)
    count, total = frame["numerator"].to_numpy(), frame["denominator"].to_numpy()
    with np.errstate(invalid="ignore", divide="ignore"):
        widened = total + frame["left_out"].to_numpy()
        frame["percent"] = 100 * count / total
        frame["bound_low"] = 100 * count / widened
        frame["bound_high"] = 100 * (count + frame["may_still"].to_numpy()) / widened
    for name, limits in (("wilson", wilson(count, total)), ("exact", clopper_pearson(count, total))):
        frame[f"{name}_low"], frame[f"{name}_high"] = (100 * limit for limit in limits)
    return frame[list(COLUMNS)]
