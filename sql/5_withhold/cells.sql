-- One row per published cell and family, a family being cells that add up to a published total.
-- key:  cell, family
-- from: mart.rate_cells, mart.share_cells, mart.treatments, mart.cases, codes.species
--
-- cell is the cell's address in all published tables: 'injury=ingested'. One list for all tables, so that what
-- is withheld in one cannot be had from another. clinics are listed by name, so that it can be seen on which
-- clinics several cells rest together.
with groups as (
    select grouping || '=' || group_code as cell, grouping as family, animals, clinic
    from mart.rate_cells
),

shares as (
    select axis || '=' || code as cell, level || ' ' || axis as family, count as animals, clinic
    from mart.share_cells
),

tackle_species as (
    select
        'species=' || shares.code as cell, 'tackle species of ' || species.taxon_group as family,
        shares.count as animals, shares.clinic
    from mart.share_cells as shares
    inner join codes.species as species on shares.code = species.code
    where shares.level = 'animal' and shares.axis = 'species'
),

all_species as (
    select
        clinic,
        unnest([
            struct_pack(cell := 'species=' || species_code, family := 'species of ' || taxon_group_code),
            struct_pack(cell := 'taxon_group=' || taxon_group_code, family := 'all taxon_group')
        ], recursive := true),
        1 as animals
    from mart.cases
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
            struct_pack(taxon := 'all', site := 'all', part_of := 'injuries'),
            struct_pack(taxon := taxon_group, site := 'all', part_of := 'taxa|' || injury),
            struct_pack(taxon := 'all', site := body_site, part_of := 'sites|' || injury),
            struct_pack(taxon := taxon_group, site := body_site, part_of := concat_ws('|', 'sites', injury, taxon_group)),
            struct_pack(taxon := taxon_group, site := body_site, part_of := concat_ws('|', 'taxa', injury, body_site))
        ], recursive := true)
    from kinds
),

treated as (
    select
        concat_ws('|', injury, taxon, site, treatment_code) as cell, part_of || '|' || treatment_code as family,
        1 as animals, clinic
    from parts
)

select cell, family, cast(sum(animals) as bigint) as animals, list_sort(list(distinct clinic)) as clinics
from (
    select cell, family, animals, clinic from groups
    union all select cell, family, animals, clinic from shares
    union all select cell, family, animals, clinic from tackle_species
    union all select cell, family, animals, clinic from all_species
    union all select cell, family, animals, clinic from treated
)
group by cell, family
