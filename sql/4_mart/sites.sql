-- One row per candidate site: its rescues, the years of record behind them, and whether a bin stands there.
-- key:  site_id
-- from: place.sites, mart.incidents, mart.record_spans, mart.bins
--
-- The years are those of the clinic that most of its animals come to: the site's catchment.
-- Rescues are incidents of the groups of animals that tackle injures.
with counted as (
    select
        site_id,
        clinic,
        count(*) as incidents,
        count(*) filter (where is_tackle) as tackle,
        count(*) filter (where not is_tackle) as other
    from mart.incidents
    where is_compared and site_id is not null
    group by site_id, clinic
),

catchments as (
    select
        site_id,
        arg_max(clinic, struct_pack(n := incidents, name := clinic)) as catchment,
        cast(sum(tackle) as bigint) as tackle,
        cast(sum(other) as bigint) as other
    from counted
    group by site_id
),

network as (
    select min(first_day) as first_day, max(last_day) as last_day from mart.record_spans
)

select
    sites.site_id,
    sites.site,
    sites.kind,
    sites.council,
    sites.latitude,
    sites.longitude,
    sites.excluded_because,
    coalesce(catchments.tackle, 0) as tackle,
    coalesce(catchments.other, 0) as other,
    catchments.catchment,
    coalesce(spans.first_day, network.first_day) as first_day,
    coalesce(spans.last_day, network.last_day) as last_day,
    (coalesce(spans.last_day, network.last_day) - coalesce(spans.first_day, network.first_day) + 1) / 365.25 as years,
    coalesce(bool_or(bins.bin_id is not null and bins.removed is null), false) as has_bin
from place.sites as sites
cross join network
left join catchments on sites.site_id = catchments.site_id
left join mart.record_spans as spans on catchments.catchment = spans.clinic
left join mart.bins as bins on sites.site_id = bins.site_id
group by all
