-- One row per cohort and case that is in it.
-- key:  cohort, case_id
-- from: mart.cohort_progress
select cohort, case_id
from mart.cohort_progress
where left_at_step is null
