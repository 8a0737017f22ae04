-- From all cases to those of a cohort: how many each condition leaves out, and how many are left.
-- key:  cohort, step
-- from: mart.cohort_progress, clinic.cohort_steps
with steps as (
    select cohort, step, reason from clinic.cohort_steps
    union all
    select distinct cohort, 0, 'all cases' from clinic.cohort_steps
)

select
    steps.cohort,
    steps.step,
    steps.reason,
    count(*) filter (where progress.left_at_step = steps.step) as animals_out,
    count(*) filter (where progress.case_id is not null and coalesce(progress.left_at_step > steps.step, true))
        as animals_left
from steps
left join mart.cohort_progress as progress on steps.cohort = progress.cohort
group by steps.cohort, steps.step, steps.reason
