-- One row per council: its area, and how many rescues its sites and the rest of it had.
-- key:  council
-- from: place.councils, mart.incidents, mart.sites, withhold.decisions
--
-- Areas, sites and bins are the councils' own public works and are told exactly; counts obey withhold.decisions.
--
-- columns:
--   council: name of the council
--   geometry: its area as a GeoJSON geometry, WGS84, outer rings counter-clockwise (RFC 7946)
--   area_km2: geodesic area in square kilometres
--   sites: candidate sites in it
--   bins: bins that stand there
--   tackle: tackle incidents of the groups of animals that tackle injures, all years
--   other: incidents of other causes, same groups of animals
--   away_from_sites: of the tackle incidents, those at no candidate site, which no bin at a site would reach
--   note: why counts are missing
with counted as (
    select
        council,
        count(*) filter (where is_tackle) as tackle,
        count(*) filter (where not is_tackle) as other,
        count(*) filter (where is_tackle and site_id is null) as away
    from mart.incidents
    where is_compared and council is not null
    group by council
),

sites as (
    select council, count(*) as sites, count(*) filter (where has_bin) as bins from mart.sites group by council
),

hidden as (
    select coalesce(list(cell), []) as cells from withhold.decisions
)

select
    councils.council,
    councils.geometry,
    councils.area_km2,
    coalesce(sites.sites, 0) as sites,
    coalesce(sites.bins, 0) as bins,
    if(list_contains(cells, 'council=' || councils.council || '|tackle'), null, coalesce(tackle, 0)) as tackle,
    if(list_contains(cells, 'council=' || councils.council || '|other'), null, coalesce(other, 0)) as other,
    if(list_contains(cells, 'council=' || councils.council || '|elsewhere|tackle'), null, coalesce(away, 0))
        as away_from_sites,
    if(
        len(list_filter(hidden.cells, lambda cell: starts_with(cell, 'council=' || councils.council || '|')
            and split_part(cell, '|', -1) in ('tackle', 'other'))) > 0, 'some counts withheld: too few clinics', null
    ) as note
from place.councils as councils
cross join hidden
left join counted on councils.council = counted.council
left join sites on councils.council = sites.council
order by councils.council
