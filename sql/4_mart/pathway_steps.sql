-- One row per case and step of what was done to it: admitted, each treatment in the order it was reached, ending.
-- key:  case_id, step_number
-- from: mart.cases, mart.treatments, codes.treatment
--
-- Treatments of one day stand in the order of codes.treatment, the gentlest first; support alone is no step.
with ranked as (
    select code, row_number() over () as rank from codes.treatment
),

steps as (
    select case_id, 0 as kind, 0 as day, 'admitted' as step
    from mart.cases
    where is_tackle and is_alive_on_arrival
    union all
    select case_id, 1, treatment_days, treatment_code
    from mart.treatments
    where treatment_code <> 'supportive_only'
    union all
    select case_id, 2, stay_days, outcome_class
    from mart.cases
    where is_tackle and is_alive_on_arrival
)

select
    case_id,
    kind,
    step,
    row_number() over (partition by case_id order by kind, day nulls last, rank) - 1 as step_number
from steps
left join ranked on steps.step = ranked.code
