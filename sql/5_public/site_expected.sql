-- One row per candidate site: its place, its rescues, what is to be expected there in a year, and whether it is hot.
-- key:  site_id
-- from: mart.sites, result.site_expected, result.hot_spot_sites, withhold.decisions
--
-- A site is the council's own public work and its place is told exactly; its figures obey withhold.decisions.
--
-- columns:
--   site_id: the council's id of the site
--   site: name of the site
--   kind: jetty, ramp, park and the like, as the council says
--   council: the council that it belongs to
--   latitude: decimal degrees, WGS84, as the council gave it
--   longitude: decimal degrees, WGS84
--   has_bin: whether a bin for fishing line stands there
--   excluded_because: why no bin may stand there
--   years: years of record behind the counts
--   tackle: tackle incidents there, groups of animals that tackle injures
--   other: incidents of other causes there, same groups
--   expected: tackle incidents to be expected a year, drawn towards the mean of the sites
--   low: lower 95 % limit
--   high: upper 95 % limit
--   trend: factor by which tackle incidents change from year to year; empty under ten
--   trend_low: lower 95 % limit of the factor
--   trend_high: upper 95 % limit
--   finding: 'hot spot' if tackle is a larger share of rescues than elsewhere beyond chance; 'busy, not hot' if it has twice as many rescues as the middle site and is not hot
--   note: why figures are missing
with hot as (
    select distinct site_id from result.hot_spot_sites where scan = 'same_groups' and is_beyond_chance
),

hidden as (
    select coalesce(list(cell), []) as cells from withhold.decisions
),

joined as (
    select
        sites.*,
        expected.* exclude (site_id, years, tackle, other),
        list_contains(hidden.cells, 'site=' || sites.site_id || '|tackle') as no_tackle,
        list_contains(hidden.cells, 'site=' || sites.site_id || '|other') as no_other,
        hot.site_id is not null as is_hot,
        sites.tackle + sites.other >= 2 * median(sites.tackle + sites.other) over () as is_busy
    from mart.sites as sites
    cross join hidden
    left join result.site_expected as expected on sites.site_id = expected.site_id
    left join hot on sites.site_id = hot.site_id
)

select
    site_id, site, kind, council, latitude, longitude, has_bin, excluded_because, round(years, 1) as years,
    if(no_tackle, null, tackle) as tackle,
    if(no_other, null, other) as other,
    if(no_tackle, null, round(expected, 1)) as expected,
    if(no_tackle, null, round(low, 1)) as low,
    if(no_tackle, null, round(high, 1)) as high,
    if(no_tackle, null, round(trend, 2)) as trend,
    if(no_tackle, null, round(trend_low, 2)) as trend_low,
    if(no_tackle, null, round(trend_high, 2)) as trend_high,
    case when is_hot then 'hot spot' when is_busy then 'busy, not hot' else 'as elsewhere' end as finding,
    if(no_tackle or no_other, 'some figures withheld: too few clinics', null) as note
from joined
order by site_id
