-- One row per case: one animal, one episode, from its first admission to the ending of its last stay.
-- key:  case_id
-- from: mart.stays, mart.gear_items, mart.cases_from_notes, mart.case_times, link.animals, codes.cause
-- is_from_notes: some of its tackle, procedures, findings or its ending was read in a text.
with first_stays as (
    select * from mart.stays where stay_number = 1
),

last_stays as (
    select * from mart.stays where is_last
),

counted as (
    select case_id, count(distinct clinic) as clinic_count, count(stay_number) as stay_count
    from mart.stays
    group by case_id
),

principal as (
    select *, count(*) over (partition by case_id) as gear_item_count
    from mart.gear_items
    qualify is_principal
)

select
    first_stays.case_id,
    animals.animal_id,
    first_stays.incident_id,
    first_stays.clinic,
    counted.clinic_count,
    counted.stay_count,
    first_stays.species_code,
    first_stays.taxon_group_code,
    first_stays.sex_code,
    first_stays.life_stage_code,
    first_stays.mass_g,
    first_stays.body_condition_code,
    first_stays.triage_score,
    first_stays.found_date,
    first_stays.admission_date,
    times.admission_year,
    first_stays.found_place,
    first_stays.latitude,
    first_stays.longitude,
    first_stays.place_uncertainty_m,
    first_stays.cause_code,
    coalesce(cause.is_tackle = 'yes', false) or principal.case_id is not null as is_tackle,
    principal.injury_code,
    principal.gear_code,
    principal.hook_kind_code,
    principal.body_site_code,
    principal.line_trailing_code,
    principal.lead_code,
    first_stays.severity_code,
    first_stays.injury_age_code,
    coalesce(first_stays.outcome_timing_code, '') <> 'before_admission' as is_alive_on_arrival,
    last_stays.outcome_code,
    times.outcome_class,
    times.outcome_timing_code,
    last_stays.outcome_status_code,
    last_stays.outcome_date,
    times.stay_days,
    times.entry_days,
    last_stays.euthanasia_reason_code,
    last_stays.gear_at_release_code,
    coalesce(principal.gear_item_count, 0) as gear_item_count,
    last_stays.export_date,
    texts.case_id is not null as is_from_notes
from first_stays
inner join last_stays on first_stays.case_id = last_stays.case_id
inner join counted on first_stays.case_id = counted.case_id
inner join mart.case_times as times on first_stays.case_id = times.case_id
inner join link.animals as animals on first_stays.case_id = animals.case_id
left join codes.cause as cause on first_stays.cause_code = cause.code
left join mart.cases_from_notes as texts on first_stays.case_id = texts.case_id
left join principal on first_stays.case_id = principal.case_id
