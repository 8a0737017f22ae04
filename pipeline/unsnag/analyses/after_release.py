"""Seen again, admitted again, found dead: what little is known of released animals."""

import pandas as pd

from unsnag.stats.quantiles import quartiles

TITLE = "After release"
QUESTION = "How many released animals were seen again, admitted again or found dead, and how long after?"
CAUTION = (
    "Not seen is not alive, and not seen is not dead: hardly anybody looks. These counts are the least that can have "
    "happened, and no rate of survival follows from them."
)
COLUMNS = {
    "grouping": "the feature by which animals are grouped: all, taxon_group or gear_at_release",
    "group_code": "the shared code of the group",
    "event": "seen_again (in any way), readmitted, or recovered_dead",
    "released": "released tackle animals of the group",
    "clinics": "clinics that they came to",
    "count": "of these, known to have had the event",
    "dated": "of these, with a day",
    "median_days": "median days from release to the first such sight",
    "quartile_low": "first quartile, days",
    "quartile_high": "third quartile, days",
}
COUNTS = """
with grouped as (
    select *, unnest([
        struct_pack(grouping := 'all', group_code := 'all'),
        struct_pack(grouping := 'taxon_group', group_code := coalesce(taxon_group_code, 'not_stated')),
        struct_pack(grouping := 'gear_at_release', group_code := coalesce(gear_at_release_code, 'not_stated'))
    ], recursive := true)
    from mart.after_release
),
events as (
    select *, unnest([
        struct_pack(event := 'seen_again', happened := is_seen_again, days := seen_again_days),
        struct_pack(event := 'readmitted', happened := is_readmitted, days := readmission_days),
        struct_pack(event := 'recovered_dead', happened := is_recovered_dead, days := recovered_dead_days)
    ], recursive := true)
    from grouped
)
select
    grouping, group_code, event, count(*) as released, count(distinct clinic) as clinics,
    count_if(happened)::bigint as count, coalesce(list(days) filter (where happened and days is not null), []) as days
from events
group by all
order by all
"""


def compute(mart):
    """One row per group and event."""
    frame = mart.frame(COUNTS)
    frame["dated"] = frame["days"].map(len)
    seen = [quartiles(days, [1] * len(days)) for days in frame["days"]]
    names = ["quartile_low", "median_days", "quartile_high"]
    frame[names] = pd.DataFrame(seen, columns=names, index=frame.index, dtype=float)
    return frame[list(COLUMNS)]
