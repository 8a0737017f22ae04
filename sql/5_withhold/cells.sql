-- One row per published cell and sum that it stands in: cells that add up, and the cell of their total.
-- key:  cell, family
-- from: mart.rate_cells, mart.share_cells, mart.treatments, mart.cases, mart.place_cells, withhold.course_cells, withhold.like_parts, withhold.notes_cells
--
-- cell is the cell's address in all published tables: 'injury=ingested', 'gear_item|gear=hook'. One list for all tables, so that what
-- is withheld in one cannot be had from another ('other|' = cases of other causes, which only public.cases lists).
-- family is a sum that anybody can write down: one unknown in it could be computed. clinics are listed by name, so
-- that it can be seen on which clinics several cells rest together; publish.py decides.
with groups as (
    select grouping || '=' || group_code as cell, grouping as family, animals, clinic
    from mart.rate_cells
    union all
    select if(totals.grouping = 'cause', 'all_causes=all', 'all=all'), grouping, animals, clinic
    from mart.rate_cells as totals
    where grouping not in ('all', 'all_causes')
),

shares as (
    select
        if(level = 'animal', '', level || '|') || axis || '=' || code as cell, level || ' ' || axis as family,
        count as animals, clinic
    from mart.share_cells
),

species as (
    select clinic, species_code, taxon_group_code, if(is_tackle, '', 'other|') as those
    from mart.cases
),

animals as (
    select
        clinic,
        unnest([
            struct_pack(cell := those || 'species=' || species_code, family := those || taxon_group_code),
            struct_pack(cell := those || 'taxon_group=' || taxon_group_code, family := those || taxon_group_code),
            struct_pack(cell := those || 'taxon_group=' || taxon_group_code, family := those || 'groups of animals')
        ], recursive := true),
        1 as animals
    from species
),

kinds as (
    select
        clinic, treatment_code,
        coalesce(injury_code, 'not_stated') as injury,
        coalesce(taxon_group_code, 'not_stated') as taxon_group,
        coalesce(body_site_code, 'not_stated') as body_site
    from mart.treatments
),

parts as (
    select
        clinic, injury, treatment_code,
        unnest([
            struct_pack(taxon := 'all', site := 'all', sum_of := 'injuries'),
            struct_pack(taxon := 'all', site := 'all', sum_of := 'taxa|' || injury),
            struct_pack(taxon := 'all', site := 'all', sum_of := 'sites|' || injury),
            struct_pack(taxon := taxon_group, site := 'all', sum_of := 'taxa|' || injury),
            struct_pack(taxon := 'all', site := body_site, sum_of := 'sites|' || injury),
            struct_pack(taxon := taxon_group, site := 'all', sum_of := concat_ws('|', 'sites', injury, taxon_group)),
            struct_pack(taxon := 'all', site := body_site, sum_of := concat_ws('|', 'taxa', injury, body_site)),
            struct_pack(taxon := taxon_group, site := body_site, sum_of := concat_ws('|', 'sites', injury, taxon_group)),
            struct_pack(taxon := taxon_group, site := body_site, sum_of := concat_ws('|', 'taxa', injury, body_site))
        ], recursive := true)
    from kinds
)

select cell, family, cast(sum(animals) as bigint) as animals, list_sort(list(distinct clinic)) as clinics
from (
    select cell, family, animals, clinic from groups
    union all select cell, family, animals, clinic from shares union all select cell, family, animals, clinic from animals
    union all select cell, family, animals, clinic from withhold.like_parts
    union all select cell, family, incidents, clinic from mart.place_cells
    union all select cell, family, animals, clinic from withhold.course_cells
    union all select cell, family, animals, clinic from withhold.notes_cells
    union all
    select concat_ws('|', injury, taxon, site, treatment_code), sum_of || '|' || treatment_code, 1, clinic from parts
)
group by cell, family
