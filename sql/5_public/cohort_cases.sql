-- One row per cohort and case that is in it, of those cohorts that rest on clinics enough.
-- key:  cohort, case_id
-- from: mart.cohort_progress, mart.cases, clinic.cohorts, withhold.case_details, withhold.decisions
--
-- A case whose value public.cases withholds is not listed, for being in would tell that value. Nor is a case of a
-- quarter that the cohort's first or last day cuts in two, for being in would tell more of its day than the quarter.
--
-- columns:
--   cohort: name of the cohort
--   case_id: pseudonym of the case, as in public.cases
with shown_lists as (
    select lists.cells
    from (select distinct cells from mart.cohort_progress) as lists
    cross join (select coalesce(list(cell), []) as cells from withhold.decisions) as hidden
    where not list_has_any(flatten(lists.cells), hidden.cells)
),

members as (
    select progress.cohort, progress.case_id, progress.clinic
    from mart.cohort_progress as progress
    inner join clinic.cohorts as cohorts on progress.cohort = cohorts.cohort
    inner join mart.cases as cases on progress.case_id = cases.case_id
    inner join withhold.case_details as details on progress.case_id = details.case_id
    inner join shown_lists on progress.cells = shown_lists.cells
    where left_at_step is null
        and not (is_day_withheld and coalesce(admitted_from, admitted_until) is not null)
        and coalesce(admitted_from <= date_trunc('quarter', admission_date), true)
        and coalesce(admitted_until >= date_trunc('quarter', admission_date) + interval 3 months - interval 1 day, true)
),

shown as (
    select cohort from members group by cohort having count(distinct clinic) >= $minimum_clinics
)

select members.cohort, pseudonym(members.case_id, $pseudonym_key) as case_id
from members
inner join shown on members.cohort = shown.cohort
order by members.cohort, pseudonym(members.case_id, $pseudonym_key)
