-- What was done to the animals, in order: how many went from one step to the next.
-- key:  step_number, step_from, step_to
-- from: result.pathways
--
-- Steps that too few clinics have taken are told together as 'another step', so that the animals still add up.
--
-- columns:
--   step_number: place of the first of the two steps, 0 = admission
--   step_from: the step
--   step_to: the next step: a treatment, or how the case ended
--   animals: animals that went this way
with told as (
    select
        step_number,
        case when clinics >= $minimum_clinics then step_from else 'another step' end as step_from,
        case when clinics >= $minimum_clinics then step_to else 'another step' end as step_to,
        animals
    from result.pathways
)

select step_number, step_from, step_to, cast(sum(animals) as bigint) as animals
from told
group by step_number, step_from, step_to
order by step_number, step_from, step_to
