-- One row per cohort and case: the first step that left the case out, and the cells that its steps would tell.
-- key:  cohort, case_id
-- from: mart.cases, clinic.cohort_steps
--
-- Every condition is data (cohorts.toml); a case without a code has the code 'not_stated'. cells lists, step by step,
-- the published cells that being in would give away, so that the public tables can leave out whom they must.
with asked as (
    select
        steps.cohort, steps.step, steps.feature, steps.codes,
        cases.case_id, cases.clinic, cases.admission_date, cases.admission_year, if(is_tackle, '', 'other|') as those,
        coalesce(taxon_group_code, 'not_stated') as taxon_group,
        coalesce(case steps.feature
            when 'taxon_group' then taxon_group_code
            when 'species' then species_code
            when 'sex' then sex_code
            when 'life_stage' then life_stage_code
            when 'body_condition' then body_condition_code
            when 'triage_score' then triage_score
            when 'cause' then cause_code
            when 'injury' then injury_code
            when 'gear' then gear_code
            when 'hook_kind' then hook_kind_code
            when 'body_site' then body_site_code
            when 'severity' then severity_code
            when 'injury_age' then injury_age_code
            when 'arrival' then if(is_alive_on_arrival, 'alive', 'dead')
            when 'tackle' then if(is_tackle, 'yes', 'no')
            when 'line_trailing' then line_trailing_code
            when 'lead' then lead_code
        end, 'not_stated') as code
    from mart.cases as cases
    cross join clinic.cohort_steps as steps
),

judged as (
    select
        cohort, step, case_id, clinic,
        case feature
            when 'admitted_from' then admission_date >= cast(codes[1] as date)
            when 'admitted_until' then admission_date <= cast(codes[1] as date)
            else list_contains(codes, code)
        end as is_met,
        case
            when feature like 'admitted_%' then [those || 'admission_year=' || admission_year]
            when feature = 'species' then [those || 'species=' || code, those || 'taxon_group=' || taxon_group]
            when feature = 'taxon_group' then [those || 'taxon_group=' || code]
            when feature = 'hook_kind' then ['gear_item|hook_kind=' || code]
            else [feature || '=' || code]
        end as cells
    from asked
)

select
    cohort,
    case_id,
    clinic,
    min(step) filter (where not is_met) as left_at_step,
    list(cells order by step) as cells
from judged
group by cohort, case_id, clinic
