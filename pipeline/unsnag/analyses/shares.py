"""What the animals, the tackle and the procedures were: shares with exact limits, each of its own total."""

from unsnag.stats.proportions import clopper_pearson

TITLE = "What came, and what was done"
QUESTION = "What share of animals, of gear items and of procedures was of each kind?"
CAUTION = "Animals, gear items and procedures have totals of their own: one animal can carry two hooks."
COLUMNS = {
    "level": "what is counted: animal, gear_item or procedure",
    "axis": "the feature",
    "code": "its shared code; 'not_stated' where the record is silent",
    "count": "how many",
    "total": "of how many",
    "clinics": "clinics that they came to",
    "percent": "count in percent of total",
    "exact_low": "lower 95 % limit, exact (Clopper-Pearson), percent",
    "exact_high": "upper 95 % limit, exact (Clopper-Pearson), percent",
}

COUNTS = """
with tackle as (
    select * from mart.cases where is_tackle
),
long as (
    select 'animal' as level, clinic, unnest([
        struct_pack(axis := 'species', code := species_code),
        struct_pack(axis := 'taxon_group', code := taxon_group_code),
        struct_pack(axis := 'injury', code := injury_code),
        struct_pack(axis := 'life_stage', code := life_stage_code),
        struct_pack(axis := 'severity', code := severity_code)
    ], recursive := true) from tackle
    union all by name
    select 'gear_item' as level, items.clinic, unnest([
        struct_pack(axis := 'gear', code := items.gear_code),
        struct_pack(axis := 'injury', code := items.injury_code),
        struct_pack(axis := 'hook_kind', code := items.hook_kind_code),
        struct_pack(axis := 'body_site', code := items.body_site_code),
        struct_pack(axis := 'gear_fate', code := items.gear_fate_code)
    ], recursive := true) from mart.gear_items as items inner join tackle using (case_id)
    union all by name
    select 'procedure' as level, procedures.clinic, unnest([
        struct_pack(axis := 'procedure', code := procedures.procedure_code),
        struct_pack(axis := 'treatment', code := procedures.treatment_code)
    ], recursive := true) from mart.procedures as procedures inner join tackle using (case_id)
),
counted as (
    select level, axis, coalesce(code, 'not_stated') as code, count(*) as count, count(distinct clinic) as clinics
    from long
    group by all
)
select *, (sum(count) over (partition by level, axis))::bigint as total
from counted
order by level, axis, count desc, code
"""


def compute(mart):
    """One row per level, axis and code, tackle cases only."""
    frame = mart.frame(COUNTS)
    low, high = clopper_pearson(frame["count"].to_numpy(), frame["total"].to_numpy())
    frame["percent"] = 100 * frame["count"] / frame["total"]
    frame["exact_low"], frame["exact_high"] = 100 * low, 100 * high
    return frame[list(COLUMNS)]
