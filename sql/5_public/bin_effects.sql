-- One row per bin, and one for all together: whether tackle cases fell there more than at sites without a bin.
-- key:  bin_id
-- from: result.bin_effects, mart.bins, mart.bin_periods, mart.sites, withhold.decisions
--
-- columns:
--   bin_id: the council's id of the bin, or 'all bins'
--   site_id: the site where it stands
--   site: name of the site
--   council: its council
--   decided: day on which its place was chosen; empty if unknown
--   installed: first day with the bin
--   removed: first day without it again; empty if it stands
--   years_before: years of record before the year that the siting was decided on
--   years_after: years of record with the bin
--   before_tackle: tackle incidents at the site before
--   before_other: incidents of other causes before, same groups of animals
--   after_tackle: tackle incidents with the bin
--   after_other: incidents of other causes with the bin
--   ratio: tackle among rescues after over before, over the same at comparable sites; 1 is no effect, 0.5 half the tackle cases
--   low: lower 95 % limit
--   high: upper 95 % limit; infinite where the data set none
--   comparison_sites: sites without a bin that it was compared with
--   years_until_seen: years with the bin until a halving would be seen in 8 of 10 such records; empty: over 30
--   seen_in_ten_years: weakest true ratio that ten years with the bin would likely show; empty: none to 0.1
--   naive_ratio: tackle cases a year with the bin over those of the deciding period: what not to look at
--   chance_ratio: the same had there been no bin: chance alone, after a bad year
--   verdict: what may be said of it
--   note: why counts are missing
with counted as (
    select
        bin_id,
        max(tackle) filter (where period = 'before') as before_tackle,
        max(other) filter (where period = 'before') as before_other,
        max(tackle) filter (where period = 'after') as after_tackle,
        max(other) filter (where period = 'after') as after_other
    from mart.bin_periods
    group by bin_id
),

hidden as (
    select coalesce(list(cell), []) as cells from withhold.decisions
)

select
    effects.bin_id, bins.site_id, sites.site, sites.council, bins.decided, bins.installed, bins.removed,
    round(effects.years_before, 1) as years_before,
    round(effects.years_after, 1) as years_after,
    if(list_contains(cells, concat('bin=', effects.bin_id, '|before|tackle')), null, before_tackle) as before_tackle,
    if(list_contains(cells, concat('bin=', effects.bin_id, '|before|other')), null, before_other) as before_other,
    if(list_contains(cells, concat('bin=', effects.bin_id, '|after|tackle')), null, after_tackle) as after_tackle,
    if(list_contains(cells, concat('bin=', effects.bin_id, '|after|other')), null, after_other) as after_other,
    round(effects.ratio, 2) as ratio, round(effects.low, 2) as low, round(effects.high, 2) as high,
    effects.comparison_sites, effects.years_until_seen, effects.seen_in_ten_years,
    round(effects.naive_ratio, 2) as naive_ratio, round(effects.chance_ratio, 2) as chance_ratio, effects.verdict,
    if(
        len(list_filter(cells, lambda cell: starts_with(cell, concat('bin=', effects.bin_id, '|')))) > 0,
        'some counts withheld: too few clinics', null
    ) as note
from result.bin_effects as effects
cross join hidden
left join mart.bins as bins on effects.bin_id = bins.bin_id
left join mart.sites as sites on bins.site_id = sites.site_id
left join counted on effects.bin_id = counted.bin_id
order by bins.bin_id is not null, effects.bin_id
