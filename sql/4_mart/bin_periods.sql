-- One row per bin and period: before its siting was decided on, while it was, and with the bin there.
-- key:  bin_id, period
-- from: mart.bins, mart.sites, mart.incidents
--
-- Bins are put where the year before the decision was bad, so that year proves nothing: it is no part of
-- "before". Days before the first record and after the last export do not count.
with spans as (
    select
        bins.bin_id, bins.site_id, sites.first_day,
        greatest(sites.first_day, bins.siting_from) as decided_day,
        bins.installed as installed_day,
        least(sites.last_day, coalesce(bins.removed - 1, sites.last_day)) as last_day
    from mart.bins as bins
    inner join mart.sites as sites on bins.site_id = sites.site_id
    where bins.is_first and bins.installed > sites.first_day
),

periods as (
    select
        bin_id, site_id,
        unnest([
            struct_pack(period := 'before', period_from := first_day, period_to := decided_day - 1),
            struct_pack(period := 'deciding', period_from := decided_day, period_to := installed_day - 1),
            struct_pack(period := 'after', period_from := installed_day, period_to := last_day)
        ], recursive := true)
    from spans
)

select
    periods.bin_id, periods.site_id, periods.period, periods.period_from, periods.period_to,
    greatest(periods.period_to - periods.period_from + 1, 0) / 365.25 as years,
    count(incidents.incident_id) filter (where incidents.is_tackle) as tackle,
    count(incidents.incident_id) filter (where not incidents.is_tackle) as other
from periods
left join mart.incidents as incidents
    on periods.site_id = incidents.site_id and incidents.is_compared
    and incidents.incident_date between periods.period_from and periods.period_to
group by all
