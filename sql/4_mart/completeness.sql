-- One row per field, clinic and year: of how many cases the record states the field.
-- key:  field, clinic, admission_year
-- from: mart.cases, mart.treatments
--
-- Fields of the injury are asked of tackle cases only, the reason of euthanased ones only, and so on: a field is
-- incomplete only where it could have been filled.
with treated as (
    select distinct case_id from mart.treatments
),

asked as (
    select cases.clinic, cases.admission_year, unnest([
        struct_pack(field := 'species', filled := species_code <> 'unmapped', asked := true),
        struct_pack(field := 'sex', filled := sex_code is not null, asked := true),
        struct_pack(field := 'life_stage', filled := life_stage_code is not null, asked := true),
        struct_pack(field := 'mass', filled := mass_g is not null, asked := true),
        struct_pack(field := 'body_condition', filled := body_condition_code is not null, asked := true),
        struct_pack(field := 'triage_score', filled := triage_score is not null, asked := true),
        struct_pack(field := 'found_date', filled := found_date is not null, asked := true),
        struct_pack(field := 'found_place', filled := coalesce(found_place, cast(latitude as varchar)) is not null, asked := true),
        struct_pack(field := 'coordinates', filled := latitude is not null, asked := true),
        struct_pack(field := 'cause', filled := cause_code is not null, asked := true),
        struct_pack(field := 'injury', filled := injury_code is not null, asked := is_tackle),
        struct_pack(field := 'gear', filled := gear_code is not null, asked := is_tackle),
        struct_pack(field := 'body_site', filled := body_site_code is not null, asked := is_tackle),
        struct_pack(field := 'severity', filled := severity_code is not null, asked := is_tackle),
        struct_pack(field := 'treatment', filled := treated.case_id is not null, asked := is_tackle and is_alive_on_arrival),
        struct_pack(field := 'outcome', filled := outcome_class <> 'unknown', asked := true),
        struct_pack(field := 'outcome_date', filled := outcome_date is not null, asked := outcome_status_code = 'final'),
        struct_pack(
            field := 'euthanasia_reason', filled := euthanasia_reason_code is not null,
            asked := outcome_class = 'euthanased'
        )
    ], recursive := true)
    from mart.cases as cases
    left join treated on cases.case_id = treated.case_id
)

select
    field,
    clinic,
    admission_year,
    count(*) filter (where asked) as cases,
    count(*) filter (where asked and filled) as filled
from asked
group by field, clinic, admission_year
