-- One row per area and number of new bins: the set of sites that reaches most tackle cases, found exactly.
-- key:  area, bins
-- from: result.bin_sets, mart.sites, withhold.decisions
--
-- Shares are whole per cents, and of a council with a withheld site there are none: they would give its figure away.
--
-- columns:
--   area: a council, or all councils
--   bins: new bins at most
--   is_feasible: whether so few can keep the rules
--   sites: names of the sites taken
--   standing_percent: share of the area's expected tackle cases that the standing bins reach
--   covered_percent: share that these and the new bins reach
--   covered_low: lower 95 % limit over other such records
--   covered_high: upper 95 % limit
--   note: why shares are missing
with closed as (
    select distinct sites.council
    from mart.sites as sites
    inner join withhold.decisions as decisions on 'site=' || sites.site_id || '|tackle' = decisions.cell
)

select
    sets.area, cast(sets.bins as integer) as bins, sets.is_feasible, nullif(sets.sites, '') as sites,
    if(closed.council is null, cast(round(sets.standing_percent) as integer), null) as standing_percent,
    if(closed.council is null, cast(round(sets.covered_percent) as integer), null) as covered_percent,
    if(closed.council is null, cast(round(sets.covered_low) as integer), null) as covered_low,
    if(closed.council is null, cast(round(sets.covered_high) as integer), null) as covered_high,
    if(closed.council is null, null, 'shares withheld: a site of too few clinics') as note
from result.bin_sets as sets
left join closed on sets.area = closed.council
order by sets.area, sets.bins
