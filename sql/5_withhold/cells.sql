-- One row per published cell and family, a family being cells that add up to a published total.
-- key:  cell, family
-- from: mart.rate_cells, mart.treatments, mart.cases
--
-- cell is the cell's address in all published tables: 'injury=ingested'. One list for all tables, so that what
-- is withheld in one cannot be had from another.
with groups as (
    select
        grouping || '=' || group_code as cell,
        grouping as family,
        sum(animals) as animals,
        count(distinct clinic) as clinics
    from mart.rate_cells
    where grouping not in ('all', 'all_causes')
    group by grouping, group_code
),

treated as (
    select
        treatment_code, clinic,
        unnest([
            struct_pack(
                cell := concat_ws('|', injury, 'all', 'all', treatment_code), family := concat_ws('|', 'treated', injury, treatment_code)
            ),
            struct_pack(
                cell := concat_ws('|', injury, taxon, 'all', treatment_code),
                family := concat_ws('|', 'taxa', injury, treatment_code)
            ),
            struct_pack(
                cell := concat_ws('|', injury, 'all', site, treatment_code),
                family := concat_ws('|', 'sites', injury, treatment_code)
            ),
            struct_pack(
                cell := concat_ws('|', injury, taxon, site, treatment_code),
                family := concat_ws('|', 'sites of', injury, taxon, treatment_code)
            ),
            struct_pack(
                cell := concat_ws('|', injury, taxon, site, treatment_code),
                family := concat_ws('|', 'taxa at', injury, site, treatment_code)
            )
        ], recursive := true)
    from (
        select
            clinic, treatment_code,
            coalesce(injury_code, 'not_stated') as injury,
            coalesce(taxon_group_code, 'not_stated') as taxon,
            coalesce(body_site_code, 'not_stated') as site
        from mart.treatments
    )
),

species as (
    select
        'species=' || species_code as cell,
        'species of ' || taxon_group_code as family,
        count(*) as animals,
        count(distinct clinic) as clinics
    from mart.cases
    group by species_code, taxon_group_code
)

select cell, family, cast(animals as bigint) as animals, clinics from groups
union all
select cell, family, count(*), count(distinct clinic) from treated group by cell, family
union all
select cell, family, animals, clinics from species
