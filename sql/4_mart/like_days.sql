-- One row per group of animals that are alike, class of ending and day: how many ended so, or were last seen.
-- key:  rank, injury_code, body_site_code, taxon_group_code, severity_code, outcome_class, stay_days, entry_days
-- from: mart.cases, codes.like_order
--
-- As mart.like_cells, of the cases with a known day.
with compact as (
    select
        coalesce(injury_code, 'not_stated') as injury,
        coalesce(body_site_code, 'not_stated') as body_site,
        coalesce(taxon_group_code, 'not_stated') as taxon_group,
        coalesce(severity_code, 'not_stated') as severity,
        outcome_class,
        stay_days,
        entry_days,
        count(*) as animals
    from mart.cases
    where is_tackle and is_alive_on_arrival and stay_days is not null and entry_days <= stay_days
    group by all
)

select
    cast(levels.rank as integer) as rank,
    if(levels.injury = 'yes', compact.injury, 'all') as injury_code,
    if(levels.body_site = 'yes', compact.body_site, 'all') as body_site_code,
    if(levels.taxon_group = 'yes', compact.taxon_group, 'all') as taxon_group_code,
    if(levels.severity = 'yes', compact.severity, 'all') as severity_code,
    outcome_class,
    stay_days,
    entry_days,
    cast(sum(animals) as bigint) as animals
from compact
cross join codes.like_order as levels
group by all
