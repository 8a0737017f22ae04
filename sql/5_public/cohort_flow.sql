-- From all cases to those of a cohort: how many each condition leaves out, and how many are left.
-- key:  cohort, step
-- from: mart.cohort_progress, clinic.cohort_steps, clinic.cohorts, withhold.decisions
--
-- A case whose value public.cases withholds counts as left out, so that this table tells nothing that could not be
-- counted there. From the first step that rests on too few clinics on, nothing is told. Cases share their
-- lists of cells, so that each list is compared with the withheld cells once.
--
-- columns:
--   cohort: name of the cohort
--   cohort_label: the cohort in words
--   step: order of the conditions; 0 is all cases
--   reason: the condition
--   animals_out: cases that do not meet it, or whose value is withheld
--   animals_withheld: those of them whose value is withheld; some may meet it, so that the cohort may be short of them
--   animals_left: cases left after it
--   note: why a figure is missing
with lists as (
    select
        steps.cells,
        nullif(list_position(
            list_transform(steps.cells, lambda step_cells: list_has_any(step_cells, hidden.cells)), true
        ), 0) as hidden_at_step
    from (select distinct cells from mart.cohort_progress) as steps
    cross join (select coalesce(list(cell), []) as cells from withhold.decisions) as hidden
),

seen as (
    select
        progress.cohort, progress.clinic, lists.hidden_at_step,
        least(progress.left_at_step, lists.hidden_at_step) as left_at_step
    from mart.cohort_progress as progress
    inner join lists on progress.cells = lists.cells
),

steps as (
    select cohort, step, reason from clinic.cohort_steps
    union all
    select distinct cohort, 0, 'all cases' from clinic.cohort_steps
),

counted as (
    select
        steps.cohort, steps.step, steps.reason,
        count(*) filter (where left_at_step = steps.step) as animals_out,
        count(*) filter (where left_at_step = steps.step and hidden_at_step = steps.step) as animals_withheld,
        count(*) filter (where coalesce(left_at_step > steps.step, true)) as animals_left,
        count(distinct clinic) filter (where left_at_step = steps.step) as clinics_out,
        count(distinct clinic) filter (where coalesce(left_at_step > steps.step, true)) as clinics_left
    from steps
    inner join seen on steps.cohort = seen.cohort
    group by steps.cohort, steps.step, steps.reason
),

decided as (
    select
        *,
        bool_and(
            (animals_out = 0 or clinics_out >= $minimum_clinics) and (animals_left = 0 or clinics_left >= $minimum_clinics)
        ) over (partition by cohort order by step) as is_shown
    from counted
)

select
    decided.cohort,
    cohorts.title as cohort_label,
    decided.step,
    decided.reason,
    case when is_shown then animals_out end as animals_out,
    case when is_shown then animals_withheld end as animals_withheld,
    case when is_shown then animals_left end as animals_left,
    case when not is_shown then 'withheld: fewer than ' || $minimum_clinics || ' clinics' end as note
from decided
inner join clinic.cohorts as cohorts on decided.cohort = cohorts.cohort
order by decided.cohort, decided.step
