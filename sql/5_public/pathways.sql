-- What was done to the animals, in order: how many went from one step to the next.
-- key:  step_number, step_from, step_to
-- from: result.pathways, codes.treatment, codes.outcome_class
--
-- Ways that too few clinics have taken are told together as 'another step', so that the animals still add up; a
-- single one takes the smallest other with it, or its own number would stand there. All ways begin with the admission.
--
-- columns:
--   step_number: place of the first of the two steps, 0 = admission
--   step_from: code of the step
--   from_label: the step in words
--   step_to: code of the next step: a treatment, or how the case ended
--   to_label: the next step in words
--   animals: animals that went this way
with few as (
    select *, clinics < $minimum_clinics as is_few
    from result.pathways
),

ranked as (
    select
        *,
        count_if(is_few) over (partition by step_number) as few_of_step,
        row_number() over (partition by step_number, is_few order by animals, step_from, step_to) as rank_by_animals
    from few
),

hidden as (
    select *, is_few or (few_of_step = 1 and rank_by_animals = 1) as is_hidden
    from ranked
),

told as (
    select
        step_number,
        if(is_hidden and step_number > 0, 'another step', step_from) as step_from,
        if(is_hidden, 'another step', step_to) as step_to,
        animals
    from hidden
),

steps as (
    select step_number, step_from, step_to, cast(sum(animals) as bigint) as animals
    from told
    group by step_number, step_from, step_to
),

words as (
    select code, label from codes.treatment
    union all
    select code, label from codes.outcome_class
)

select
    steps.step_number,
    steps.step_from,
    coalesce(before.label, upper(left(steps.step_from, 1)) || substr(steps.step_from, 2)) as from_label,
    steps.step_to,
    coalesce(after.label, upper(left(steps.step_to, 1)) || substr(steps.step_to, 2)) as to_label,
    steps.animals
from steps
left join words as before on steps.step_from = before.code
left join words as after on steps.step_to = after.code
order by steps.step_number, steps.step_from, steps.step_to
