-- One row per circle in which tackle injures more animals than the rescues there lead one to expect, and per scan.
-- key:  scan, period, cluster
-- from: result.hot_spots, result.hot_spot_sites, withhold.decisions
--
-- The middle is told on the network's grid. Counts are told of the scan of all years and the same groups of animals,
-- if the circle holds candidate sites only and none of their counts is withheld.
--
-- columns:
--   scan: same_groups compares with rescues of the groups that tackle injures; all_rescues with all; year is same_groups in one year
--   scan_label: the same in words
--   period: all, or the year of admission
--   cluster: the most likely first
--   sites: names of the candidate sites inside
--   council: councils of these sites
--   other_places: further spots inside that are no candidate site
--   latitude: middle of the grid cell that holds the circle's middle, decimal degrees, WGS84
--   longitude: middle of that cell, decimal degrees, WGS84
--   radius_m: metres from the middle to the farthest spot inside, rounded up to hundreds
--   tackle: tackle incidents inside
--   rescues: incidents of all causes inside
--   expected: tackle incidents, had each clinic one share of tackle everywhere
--   relative_risk: observed over expected inside, over the same outside
--   p_value: share of replicates, cases dealt out by chance, whose best circle is as good
--   finding: 'beyond chance' at 0.05 or less, 'chance' above, 'withheld' where it rests on too few clinics
with closed as (
    select members.scan, members.period, members.cluster
    from result.hot_spot_sites as members
    inner join withhold.decisions as decisions
        on decisions.cell in ('site=' || members.site_id || '|tackle', 'site=' || members.site_id || '|other')
    group by all
),

judged as (
    select
        spots.*,
        spots.clinics < $minimum_clinics or spots.rescues < $minimum_cell as is_few,
        spots.scan = 'same_groups' and spots.other_places = 0 and closed.cluster is null as is_open
    from result.hot_spots as spots
    left join closed on spots.scan = closed.scan and spots.period = closed.period and spots.cluster = closed.cluster
)

select
    scan,
    case scan
        when 'same_groups' then 'All years, against rescues of the same groups of animals'
        when 'all_rescues' then 'All years, against all other rescues'
        else 'In ' || period || ', same groups of animals'
    end as scan_label,
    period, cluster,
    if(is_few, null, sites) as sites,
    if(is_few, null, council) as council,
    if(is_few, null, other_places) as other_places,
    if(is_few, null, round((floor(latitude / $grid_degrees) + 0.5) * $grid_degrees, 6)) as latitude,
    if(is_few, null, round((floor(longitude / $grid_degrees) + 0.5) * $grid_degrees, 6)) as longitude,
    if(is_few, null, cast(ceil(radius_m / 100) * 100 as integer)) as radius_m,
    if(is_open and not is_few, tackle, null) as tackle,
    if(is_open and not is_few, rescues, null) as rescues,
    if(is_open and not is_few, round(expected, 1), null) as expected,
    if(is_few, null, round(relative_risk, 1)) as relative_risk,
    if(is_few, null, p_value) as p_value,
    case when is_few then 'withheld' when is_beyond_chance then 'beyond chance' else 'chance' end as finding
from judged
order by scan, period, cluster
