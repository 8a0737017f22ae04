-- One row per cohort and case: the first step that left the case out, and the cells that its steps would tell.
-- key:  cohort, case_id
-- from: mart.cases, clinic.cohort_steps
--
-- Every condition is data (cohorts.toml); a case without a code has the code 'not_stated'. cells lists, step by step,
-- the published cells that being in would give away, so that the public tables can leave out whom they must.
with featured as (
    select
        case_id, clinic, admission_date, if(is_tackle, '', 'other|') as those, admission_year,
        coalesce(taxon_group_code, 'not_stated') as taxon_group,
        map {
            'taxon_group': coalesce(taxon_group_code, 'not_stated'), 'species': coalesce(species_code, 'not_stated'),
            'sex': coalesce(sex_code, 'not_stated'), 'life_stage': coalesce(life_stage_code, 'not_stated'),
            'body_condition': coalesce(body_condition_code, 'not_stated'),
            'triage_score': coalesce(triage_score, 'not_stated'), 'cause': coalesce(cause_code, 'not_stated'),
            'injury': coalesce(injury_code, 'not_stated'), 'gear': coalesce(gear_code, 'not_stated'),
            'hook_kind': coalesce(hook_kind_code, 'not_stated'), 'body_site': coalesce(body_site_code, 'not_stated'),
            'severity': coalesce(severity_code, 'not_stated'), 'injury_age': coalesce(injury_age_code, 'not_stated'),
            'arrival': if(is_alive_on_arrival, 'alive', 'dead'), 'tackle': if(is_tackle, 'yes', 'no'),
            'line_trailing': coalesce(line_trailing_code, 'not_stated'), 'lead': coalesce(lead_code, 'not_stated')
        } as features
    from mart.cases
),

judged as (
    select
        steps.cohort, steps.step, featured.case_id, featured.clinic,
        case steps.feature
            when 'admitted_from' then admission_date >= cast(steps.codes[1] as date)
            when 'admitted_until' then admission_date <= cast(steps.codes[1] as date)
            else list_contains(steps.codes, features[steps.feature])
        end as is_met,
        case
            when steps.feature like 'admitted_%' then [those || 'admission_year=' || admission_year]
            when steps.feature = 'species'
                then [those || 'species=' || features['species'], those || 'taxon_group=' || taxon_group]
            when steps.feature = 'taxon_group' then [those || 'taxon_group=' || taxon_group]
            when steps.feature = 'hook_kind' then ['gear_item|hook_kind=' || features['hook_kind']]
            else [steps.feature || '=' || features[steps.feature]]
        end as cells
    from featured
    cross join clinic.cohort_steps as steps
)

select
    cohort,
    case_id,
    clinic,
    min(step) filter (where not is_met) as left_at_step,
    list(cells order by step) as cells
from judged
group by cohort, case_id, clinic
