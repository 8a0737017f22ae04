-- What was done to the animals, in order: how many went from one step to the next.
-- key:  step_number, step_from, step_to
-- from: result.pathways
--
-- Ways that too few clinics have taken are told together as 'another step', so that the animals still add up; a
-- single one takes the smallest other with it, or its own number would stand there.
--
-- columns:
--   step_number: place of the first of the two steps, 0 = admission
--   step_from: the step
--   step_to: the next step: a treatment, or how the case ended
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
        if(is_hidden, 'another step', step_from) as step_from,
        if(is_hidden, 'another step', step_to) as step_to,
        animals
    from hidden
)

select step_number, step_from, step_to, cast(sum(animals) as bigint) as animals
from told
group by step_number, step_from, step_to
order by step_number, step_from, step_to
