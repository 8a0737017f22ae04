-- One row per group, clinic, class of ending and timing: how many cases. Rates cost groups, not cases.
-- key:  grouping, group_code, clinic, outcome_class, outcome_timing_code
-- from: mart.cases
--
-- Groups are what was there at admission. Tackle cases make 'all' and its parts; 'all_causes' and 'cause' hold
-- every case, so that tackle can be seen beside the rest.
with compact as (
    select
        clinic, outcome_class, coalesce(outcome_timing_code, 'not_stated') as outcome_timing_code, is_tackle,
        cast(admission_year as varchar) as admission_year,
        coalesce(cause_code, 'not_stated') as cause,
        coalesce(taxon_group_code, 'not_stated') as taxon_group,
        coalesce(injury_code, 'not_stated') as injury,
        coalesce(gear_code, 'not_stated') as gear,
        coalesce(body_site_code, 'not_stated') as body_site,
        coalesce(severity_code, 'not_stated') as severity,
        count(*) as animals
    from mart.cases
    group by all
),

long as (
    select * exclude (cause, taxon_group, injury, gear, body_site, severity, admission_year),
        unnest([
            struct_pack(grouping := 'all', group_code := 'all'),
            struct_pack(grouping := 'admission_year', group_code := admission_year),
            struct_pack(grouping := 'taxon_group', group_code := taxon_group),
            struct_pack(grouping := 'injury', group_code := injury),
            struct_pack(grouping := 'gear', group_code := gear),
            struct_pack(grouping := 'body_site', group_code := body_site),
            struct_pack(grouping := 'severity', group_code := severity)
        ], recursive := true)
    from compact
    where is_tackle
    union all by name
    select * exclude (cause, taxon_group, injury, gear, body_site, severity, admission_year),
        unnest([
            struct_pack(grouping := 'all_causes', group_code := 'all'),
            struct_pack(grouping := 'cause', group_code := cause)
        ], recursive := true)
    from compact
)

select grouping, group_code, clinic, outcome_class, outcome_timing_code, cast(sum(animals) as bigint) as animals
from long
group by all
