-- One row per clinic and published cell of what happens in care and after it, with the sum that the cell stands in.
-- key:  cell, family, clinic
-- from: mart.look_ahead, mart.procedure_answers, mart.removal_attempts, mart.milestones, mart.after_release, codes.procedure
--
-- A part of withhold.cells, which joins it to the rest. Counts of procedures have the address that public.shares uses.
-- Treatments make up all attempts, procedures make up a treatment; where gear or release is asked about, they overlap.
with watched as (
    select * replace (
        coalesce(taxon_group_code, 'not_stated') as taxon_group_code,
        coalesce(body_site_code, 'not_stated') as body_site_code
    )
    from mart.look_ahead
),

hooks as (
    select
        clinic, landmark_days,
        unnest([
            struct_pack(taxon := 'all', site := 'all', sum_of := 'taxa'),
            struct_pack(taxon := 'all', site := 'all', sum_of := 'sites'),
            struct_pack(taxon := taxon_group_code, site := 'all', sum_of := 'taxa'),
            struct_pack(taxon := 'all', site := body_site_code, sum_of := 'sites'),
            struct_pack(taxon := taxon_group_code, site := 'all', sum_of := 'sites|' || taxon_group_code),
            struct_pack(taxon := 'all', site := body_site_code, sum_of := 'taxa|' || body_site_code),
            struct_pack(taxon := taxon_group_code, site := body_site_code, sum_of := 'sites|' || taxon_group_code),
            struct_pack(taxon := taxon_group_code, site := body_site_code, sum_of := 'taxa|' || body_site_code)
        ], recursive := true)
    from watched
),

kinds as (
    select
        if(measure in ('attempt', 'complication'), 'procedure', measure) as prefix,
        measure, axis, code, clinic, count
    from mart.procedure_answers
    union all
    select 'removal', 'removal', unnest(['treatment', 'procedure']), unnest([treatment_code, procedure_code]), case_clinic, 1
    from mart.removal_attempts
    where is_removal and procedure_days >= 0
),

attempts as (
    select kinds.*, list.treatment_code
    from kinds
    inner join codes.procedure as list on kinds.axis = 'procedure' and kinds.code = list.code
),

sums as (
    select prefix || '|' || axis || '=' || code as cell, measure || '|' || axis as family, clinic, count as animals
    from kinds
    union all
    select unnest([
        prefix || '|all=all', prefix || '|treatment=' || treatment_code, prefix || '|procedure=' || code
    ]), measure || unnest(['|treatment', '|in|' || treatment_code, '|in|' || treatment_code]), clinic, count
    from attempts
),

released as (
    select
        clinic,
        unnest([
            struct_pack(grouping := 'taxon_group', code := taxon_group_code),
            struct_pack(grouping := 'gear_at_release', code := gear_at_release_code)
        ], recursive := true)
    from mart.after_release
)

select cell, family, clinic, cast(sum(animals) as bigint) as animals
from (
    select
        concat_ws('|', 'look_ahead', landmark_days, taxon, site) as cell,
        concat_ws('|', 'look_ahead', landmark_days, sum_of) as family, clinic, 1 as animals
    from hooks
    union all select cell, family, clinic, animals from sums
    union all select 'milestone=' || milestone, 'milestone=' || milestone, clinic, 1 from mart.milestones
    union all
    select 'released|' || grouping || '=' || coalesce(code, 'not_stated'), 'released|' || grouping, clinic, 1 from released
)
group by cell, family, clinic
