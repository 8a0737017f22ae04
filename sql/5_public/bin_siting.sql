-- One row per area and candidate site: what one more bin there would newly reach, and prevent if the assumption holds.
-- key:  area, site_id
-- from: result.bin_siting, mart.sites, withhold.decisions
--
-- columns:
--   area: a council, or all councils
--   site_id: the council's id of the site
--   site: name of the site
--   council: its council
--   bar: why no new bin may stand there; empty for a candidate
--   within_reach: tackle cases a year that a bin there would newly reach
--   within_low: lower 95 % limit
--   within_high: upper 95 % limit
--   prevented: cases a year that it would prevent at the assumed reduction, stated in siting_rules
--   prevented_low: the same at the low reduction and the lower limit of the cases
--   prevented_high: the same at the high reduction and the upper limit of the cases
--   rank: by cases newly reached, within the area
--   taken_from: fewest new bins at which the best set holds the site; empty if none does
--   note: why figures are missing
with judged as (
    select siting.*, sites.site, sites.council, decisions.cell is not null as is_hidden
    from result.bin_siting as siting
    inner join mart.sites as sites on siting.site_id = sites.site_id
    left join withhold.decisions as decisions on 'site=' || siting.site_id || '|tackle' = decisions.cell
)

select
    area, site_id, site, council, nullif(bar, '') as bar,
    if(is_hidden, null, round(within_reach, 1)) as within_reach,
    if(is_hidden, null, round(within_low, 1)) as within_low,
    if(is_hidden, null, round(within_high, 1)) as within_high,
    if(is_hidden, null, round(prevented, 1)) as prevented,
    if(is_hidden, null, round(prevented_low, 1)) as prevented_low,
    if(is_hidden, null, round(prevented_high, 1)) as prevented_high,
    cast(rank as integer) as rank,
    cast(taken_from as integer) as taken_from,
    if(is_hidden, 'figures withheld: too few clinics', null) as note
from judged
order by area, rank nulls last, site_id
