-- One row per group of tackle cases and clinic: its counts with and without what was read in texts.
-- key:  grouping, group_code, clinic
-- from: mart.cases, mart.cases_without_notes, mart.convention_roles
--
-- Released of resolved live admissions, as in the headline rate. owing: cases of the group of which anything was read
-- in a text; differing: cases that stand in the group in one version only, or end otherwise.
with versions as (
    select
        case_id, clinic, true as reads_texts, is_from_notes, is_tackle, taxon_group_code, injury_code, gear_code,
        body_site_code, outcome_class, outcome_timing_code
    from mart.cases
    union all by name
    select *, false as reads_texts, false as is_from_notes
    from mart.cases_without_notes
),

grouped as (
    select
        case_id, clinic, reads_texts, is_from_notes, outcome_class,
        coalesce(outcome_timing_code, 'not_stated') as outcome_timing_code,
        unnest([
            struct_pack(grouping := 'all', group_code := 'all'),
            struct_pack(grouping := 'taxon_group', group_code := coalesce(taxon_group_code, 'not_stated')),
            struct_pack(grouping := 'injury', group_code := coalesce(injury_code, 'not_stated')),
            struct_pack(grouping := 'gear', group_code := coalesce(gear_code, 'not_stated')),
            struct_pack(grouping := 'body_site', group_code := coalesce(body_site_code, 'not_stated'))
        ], recursive := true)
    from versions
    where is_tackle
),

by_case as (
    select
        grouped.grouping, grouped.group_code, grouped.clinic, grouped.case_id,
        bool_or(reads_texts) as is_with,
        bool_or(not reads_texts) as is_without,
        bool_or(is_from_notes) as owes,
        count(*) = 1 or count(distinct coalesce(cast(roles.is_numerator as varchar), 'left out')) > 1 as differs,
        bool_or(reads_texts and roles.is_numerator is not null) as is_counted_with,
        bool_or(not reads_texts and roles.is_numerator is not null) as is_counted_without,
        bool_or(reads_texts and coalesce(roles.is_numerator, false)) as is_released_with,
        bool_or(not reads_texts and coalesce(roles.is_numerator, false)) as is_released_without
    from grouped
    left join mart.convention_roles as roles
        on roles.convention = 'resolved' and grouped.outcome_class = roles.outcome_class
        and grouped.outcome_timing_code = roles.outcome_timing_code
    group by all
)

select
    grouping, group_code, clinic,
    count_if(is_with) as animals_with,
    count_if(is_without) as animals_without,
    count_if(owes) as owing,
    count_if(differs) as differing,
    count_if(is_counted_with) as resolved_with,
    count_if(is_counted_without) as resolved_without,
    count_if(is_released_with) as released_with,
    count_if(is_released_without) as released_without
from by_case
group by grouping, group_code, clinic
