-- The network's cohorts: groups of cases that were defined once, to be cited by their name.
-- key:  cohort
-- from: mart.cohorts, public.cohort_cases
--
-- columns:
--   cohort: name of the cohort
--   title: the cohort in words
--   reason: what it is for
--   conditions: who is in, in the order in which cases were left out
--   admitted_from: first day of admission; empty for no limit
--   admitted_until: last day of admission; empty for no limit
--   decided: day on which the cohort was defined
--   animals_listed: cases in public.cohort_cases; those with a withheld value are not among them
select
    cohorts.cohort,
    cohorts.title,
    cohorts.reason,
    cohorts.conditions,
    cohorts.admitted_from,
    cohorts.admitted_until,
    cohorts.decided,
    count(listed.case_id) as animals_listed
from mart.cohorts as cohorts
left join public.cohort_cases as listed on cohorts.cohort = listed.cohort
group by all
order by cohorts.cohort
