-- One row per kind of animal, piece of gear or procedure and clinic: how many of them tackle cases had.
-- key:  level, axis, code, clinic
-- from: mart.cases, mart.gear_items, mart.procedures
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
    ], recursive := true)
    from tackle
    union all by name
    select 'gear_item' as level, items.clinic, unnest([
        struct_pack(axis := 'gear', code := items.gear_code),
        struct_pack(axis := 'injury', code := items.injury_code),
        struct_pack(axis := 'hook_kind', code := items.hook_kind_code),
        struct_pack(axis := 'body_site', code := items.body_site_code),
        struct_pack(axis := 'gear_fate', code := items.gear_fate_code)
    ], recursive := true)
    from mart.gear_items as items
    inner join tackle on items.case_id = tackle.case_id
    union all by name
    select 'procedure' as level, procedures.clinic, unnest([
        struct_pack(axis := 'procedure', code := procedures.procedure_code),
        struct_pack(axis := 'treatment', code := procedures.treatment_code)
    ], recursive := true)
    from mart.procedures as procedures
    inner join tackle on procedures.case_id = tackle.case_id
)

select level, axis, coalesce(code, 'not_stated') as code, clinic, count(*) as count
from long
group by level, axis, coalesce(code, 'not_stated'), clinic
