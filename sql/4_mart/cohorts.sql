-- One row per cohort: its name, what it is for, and how many cases are in it.
-- key:  cohort
-- from: clinic.cohorts, mart.cohort_progress
select
    cohorts.cohort,
    cohorts.title,
    cohorts.why as reason,
    cohorts.conditions,
    cohorts.admitted_from,
    cohorts.admitted_until,
    cohorts.decided,
    count(progress.case_id) as animals
from clinic.cohorts as cohorts
left join mart.cohort_progress as progress
    on cohorts.cohort = progress.cohort and progress.left_at_step is null
group by all
