-- One row per cohort and case that is in it, of those cohorts that rest on clinics enough.
-- key:  cohort, case_id
-- from: mart.cohort_progress, withhold.decisions
--
-- A case whose value public.cases withholds is not listed, for being in would tell that value.
--
-- columns:
--   cohort: name of the cohort
--   case_id: pseudonym of the case, as in public.cases
with members as (
    select cohort, case_id, clinic
    from mart.cohort_progress as progress
    cross join (select coalesce(list(cell), []) as cells from withhold.decisions) as hidden
    where left_at_step is null
        and not list_has_any(flatten(progress.cells), hidden.cells)
),

shown as (
    select cohort from members group by cohort having count(distinct clinic) >= $minimum_clinics
)

select members.cohort, pseudonym(members.case_id, $pseudonym_key) as case_id
from members
inner join shown on members.cohort = shown.cohort
order by members.cohort, pseudonym(members.case_id, $pseudonym_key)
