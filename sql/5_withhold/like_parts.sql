-- One row per group of animals that are alike, sum that it stands in and clinic: its animals.
-- key:  cell, family, clinic
-- from: mart.like_cells, codes.like_order
--
-- A wider group is the sum of the groups that share one thing more, so every such pair of ranks is a family of sums:
-- a group that is withheld could be had from the wider one and its other parts. Groups of one axis have the address
-- that they have in all tables.
with steps as (
    select cast(narrow.rank as integer) as rank, columns('w_.*')
    from codes.like_order as narrow
    inner join (
        select rank as w_rank, injury as w_injury, body_site as w_body_site, taxon_group as w_taxon_group,
            severity as w_severity
        from codes.like_order
    ) as wide
        on (wide.w_injury <= narrow.injury and wide.w_body_site <= narrow.body_site
            and wide.w_taxon_group <= narrow.taxon_group and wide.w_severity <= narrow.severity)
    where (wide.w_injury <> narrow.injury)::integer + (wide.w_body_site <> narrow.body_site)::integer
        + (wide.w_taxon_group <> narrow.taxon_group)::integer + (wide.w_severity <> narrow.severity)::integer = 1
),

paired as (
    select
        cells.clinic,
        cells.animals,
        cells.rank,
        like_cell(injury_code, body_site_code, taxon_group_code, severity_code) as narrow_cell,
        like_cell(
            if(w_injury = 'yes', injury_code, 'all'), if(w_body_site = 'yes', body_site_code, 'all'),
            if(w_taxon_group = 'yes', taxon_group_code, 'all'), if(w_severity = 'yes', severity_code, 'all')
        ) as wide_cell
    from mart.like_cells as cells
    inner join steps on cells.rank = steps.rank
)

select cell, concat_ws('|', 'like', rank, wide_cell) as family, cast(sum(animals) as bigint) as animals, clinic
from (
    select narrow_cell as cell, wide_cell, rank, animals, clinic from paired
    union all
    select wide_cell, wide_cell, rank, animals, clinic from paired
)
group by cell, rank, wide_cell, clinic
