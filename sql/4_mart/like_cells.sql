-- One row per group of animals that are alike, clinic, class of ending and day: how many live admissions.
-- key:  rank, injury_code, body_site_code, taxon_group_code, severity_code, clinic, outcome_class, is_day_known, stay_days, entry_days
-- from: mart.cases, codes.like_order
--
-- Groups share what codes/like_order.csv asks of its rank, the nearest first; an axis that is not asked for is 'all'.
-- stay_days is the day of the ending or of last sight, and means nothing where is_day_known is false.
with compact as (
    select
        coalesce(injury_code, 'not_stated') as injury,
        coalesce(body_site_code, 'not_stated') as body_site,
        coalesce(taxon_group_code, 'not_stated') as taxon_group,
        coalesce(severity_code, 'not_stated') as severity,
        clinic,
        outcome_class,
        coalesce(entry_days <= stay_days, false) as is_day_known,
        coalesce(stay_days, 0) as stay_days,
        entry_days,
        count(*) as animals
    from mart.cases
    where is_tackle and is_alive_on_arrival
    group by all
)

select
    cast(levels.rank as integer) as rank,
    if(levels.injury = 'yes', compact.injury, 'all') as injury_code,
    if(levels.body_site = 'yes', compact.body_site, 'all') as body_site_code,
    if(levels.taxon_group = 'yes', compact.taxon_group, 'all') as taxon_group_code,
    if(levels.severity = 'yes', compact.severity, 'all') as severity_code,
    clinic,
    outcome_class,
    is_day_known,
    stay_days,
    entry_days,
    cast(sum(animals) as bigint) as animals
from compact
cross join codes.like_order as levels
group by all
