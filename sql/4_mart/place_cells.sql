-- One row per published count of places, sum that it stands in, and clinic; only incidents of compared groups.
-- key:  cell, family, clinic
-- from: mart.incidents, mart.bins, mart.bin_periods, mart.case_places, mart.cases
--
-- The counts of a site, of the rest of its council ('elsewhere') and of the council add up; so do kinds of animals and
-- injuries, and a site's periods before, while deciding on, and with a bin. withhold.cells decides on them with all
-- others. A count below the least cell stands on one clinic here, whoever sent it, so that it is withheld.
-- Groups of sensitive species (Chapman 2020, categories 1 to 3) are not told at places finer than their grid.
with told as (
    select
        incident_id, clinic, incident_date, site_id, is_tackle,
        if(is_tackle, 'tackle', 'other') as kind,
        'council=' || council as council,
        coalesce('site=' || site_id, 'council=' || council || '|elsewhere') as part,
        [
            'taxon_group=' || if(sensitivity in ('1', '2', '3'), 'not_told', taxon_group_code), 'injury=' || injury_code
        ] as features
    from mart.incidents
    where is_compared and council is not null
),

features as (
    select * exclude (features), unnest(features) as feature from told where is_tackle
),

at_bins as (
    select
        told.clinic, told.part, told.kind,
        'bin=' || bins.bin_id || '|' || told.kind as family,
        'bin=' || bins.bin_id || '|' || coalesce(periods.period, 'rest') || '|' || told.kind as cell
    from told
    inner join mart.bins as bins on told.site_id = bins.site_id and bins.is_first
    left join mart.bin_periods as periods
        on bins.bin_id = periods.bin_id and told.incident_date between periods.period_from and periods.period_to
),

cells as (
    select clinic, council || '|' || kind as cell, council || '|' || kind as family from told
    union all
    select clinic, part || '|' || kind, council || '|' || kind from told
    union all
    select clinic, council || '|' || feature, council || '|' || split_part(feature, '=', 1) from features
    union all
    select clinic, council || '|tackle', council || '|' || split_part(feature, '=', 1) from features
    union all
    select clinic, part || '|' || feature, part || '|' || split_part(feature, '=', 1) from features
    union all
    select clinic, part || '|tackle', part || '|' || split_part(feature, '=', 1) from features
    union all
    select clinic, part || '|' || feature, council || '|' || feature from features
    union all
    select clinic, council || '|' || feature, council || '|' || feature from features
    union all
    select clinic, cell, family from at_bins
    union all
    select clinic, part || '|' || kind, family from at_bins
    union all
    select cases.clinic, 'place_standing=' || unnest([place_standing, 'all']), 'place_standing'
    from mart.case_places inner join mart.cases as cases on case_places.case_id = cases.case_id
),

counted as (
    select cell, family, clinic, count(*) as incidents
    from cells
    group by cell, family, clinic
),

sized as (
    select *, sum(incidents) over (partition by cell, family) as together from counted
)

select
    cell,
    family,
    if(together < $minimum_cell, 'fewer than the least cell', clinic) as clinic,
    cast(sum(incidents) as bigint) as incidents
from sized
group by all
