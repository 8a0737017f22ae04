-- One row per stay: what is compared when two stays may be one animal; what a record leaves open is null.
-- key:  stay_id
-- from: standard.stays, codes.outcome, codes.life_stage
--
-- A last day before the admission is a slip of the pen and as good as none.
-- compared_number stands for the stay while pairs are compared: numbers join faster than text. The notes of a stay are
-- kept as a number too, for only their being the same counts.
with life_stages as (
    select code, row_number() over () as rank from codes.life_stage
)

select
    stays.stay_id,
    row_number() over (order by stays.stay_id) as compared_number,
    stays.clinic,
    stays.incident_id,
    stays.animal_number,
    stays.band,
    stays.admission_date,
    case when stays.outcome_date >= stays.admission_date then stays.outcome_date end as outcome_date,
    case
        when stays.outcome_status_code = 'in_care' then 'pending'
        when stays.outcome_status_code in ('record_lost', 'not_stated') then 'unknown'
        else coalesce(outcome.outcome_class, 'unknown')
    end as outcome_class,
    stays.transferred_to,
    stays.other_clinic,
    nullif(stays.taxon_group_code, 'unmapped') as taxon_group_code,
    nullif(stays.species_code, 'unmapped') as species_code,
    case when stays.sex_code in ('female', 'male') then stays.sex_code end as sex_code,
    life_stages.rank as life_stage_rank,
    stays.mass_g,
    folded(stays.found_place) as place,
    stays.latitude,
    stays.longitude,
    stays.found_date,
    case when stays.cause_code not in ('unmapped', 'undetermined') then stays.cause_code end as cause_code,
    nullif(stays.injury_code, 'unmapped') as injury_code,
    nullif(stays.gear_code, 'unmapped') as gear_code,
    case when stays.body_site_code not in ('unmapped', 'unknown_site') then stays.body_site_code end as body_site_code,
    case when stays.notes is not null then hash(folded(stays.notes)) end as notes,
    coalesce(stays.life_stage_code in ('egg', 'hatchling') or stays.cause_code = 'orphaned', false) as is_young
from standard.stays as stays
left join codes.outcome as outcome on stays.outcome_code = outcome.code
left join life_stages on stays.life_stage_code = life_stages.code
