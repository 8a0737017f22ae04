-- One row per group, clinic, class of ending and day: how many live admissions ended so, or were last seen.
-- key:  grouping, group_code, clinic, outcome_class, stay_days, entry_days
-- from: mart.cases
--
-- Time is analysed from these counts, so that it costs days and groups, not cases. Cases without a day of ending
-- are not here; checks/outcome_without_day.sql asks for it.
with compact as (
    select
        clinic, outcome_class, stay_days, entry_days,
        cast(admission_year as varchar) as admission_year,
        coalesce(taxon_group_code, 'not_stated') as taxon_group,
        coalesce(injury_code, 'not_stated') as injury,
        coalesce(gear_code, 'not_stated') as gear,
        coalesce(body_site_code, 'not_stated') as body_site,
        coalesce(severity_code, 'not_stated') as severity,
        count(*) as animals
    from mart.cases
    where is_tackle and is_alive_on_arrival and stay_days is not null and entry_days <= stay_days
    group by all
),

long as (
    select clinic, outcome_class, stay_days, entry_days, animals,
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
)

select grouping, group_code, clinic, outcome_class, stay_days, entry_days, cast(sum(animals) as bigint) as animals
from long
group by all
