-- How all eligible animals would have ended under each strategy of a planned comparison, day by day.
-- key:  question, strategy, ending, day
-- from: result.effect_curves, result.effects
--
-- columns:
--   question: name of the planned comparison
--   strategy: the strategy
--   ending: released, died, euthanased, other
--   day: whole days from admission
--   incidence: share that would have ended so by the day, percent
with told as (
    select distinct question, strategy
    from (
        select question, strategy from result.effects where "group" = 'all' and verdict not in ('', 'too few to tell')
        union all
        select question, reference from result.effects where "group" = 'all' and verdict not in ('', 'too few to tell')
    )
)

select curves.question, curves.strategy, curves.ending, curves.day, round(curves.incidence, 2) as incidence
from result.effect_curves as curves
semi join told on curves.question = told.question and curves.strategy = told.strategy
order by curves.question, curves.strategy, curves.ending, curves.day
