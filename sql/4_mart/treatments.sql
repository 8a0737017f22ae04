-- One row per case and treatment that it reached, with the day on which it began.
-- key:  case_id, treatment_code
-- from: mart.cases, mart.procedures, mart.findings
--
-- Failed attempts count: a case with several treatments stands in each. An animal is 'watched' from admission if
-- the clinic says so, or if a later film was taken while no attempt at removal had been made; an attempt without a
-- day may have come first.
-- 'supportive_only' means that nothing else was done.
-- Time runs from the first day of the treatment, because the days before had to be survived to get it; a day before
-- the admission is a slip, which checks/procedure_outside_stay.sql asks about, and no start.
with stated as (
    select
        case_id,
        treatment_code,
        min(procedure_days) filter (where procedure_days >= 0) as first_days,
        count(*) as attempts
    from mart.procedures
    where treatment_code is not null and treatment_code <> 'watched'
    group by case_id, treatment_code
),

first_attempt as (
    select case_id, min(procedure_days) as attempt_days
    from mart.procedures
    where procedure_kind in ('retrieval', 'surgery', 'line_removal')
    group by case_id
),

watched as (
    select distinct case_id
    from mart.procedures
    where treatment_code = 'watched'
    union
    select findings.case_id
    from mart.findings as findings
    left join first_attempt on findings.case_id = first_attempt.case_id
    where findings.finding_days > 0
        and findings.finding_code in ('gear_in_place', 'gear_unmoved', 'gear_moved', 'gear_passed')
        and (first_attempt.case_id is null or findings.finding_days <= first_attempt.attempt_days)
),

all_reached as (
    select case_id, treatment_code, first_days, attempts from stated
    union all
    select case_id, 'watched', 0, 1 from watched
),

reached as (
    select *
    from all_reached
    qualify treatment_code <> 'supportive_only' or count(*) over (partition by case_id) = 1
)

select
    reached.case_id,
    reached.treatment_code,
    reached.first_days as treatment_days,
    reached.attempts,
    cases.clinic,
    cases.taxon_group_code,
    cases.injury_code,
    cases.body_site_code,
    cases.outcome_class,
    cases.stay_days - reached.first_days as days_from_treatment
from reached
inner join mart.cases as cases on reached.case_id = cases.case_id
where cases.is_tackle and cases.is_alive_on_arrival
