-- How all eligible animals would have ended under each strategy of a planned comparison, day by day.
-- key:  question, strategy, ending, day
-- from: result.effect_curves, result.effects
--
-- columns:
--   question: name of the planned comparison
--   strategy: the strategy
--   is_reference: whether the others are compared with it
--   ending: released, died or euthanased: the endings of which something may be said
--   day: whole days from admission
--   incidence: share that would have ended so by the day, percent
with told as (
    select distinct question, reference, unnest([strategy, reference]) as strategy, ending
    from (
        select
            question, strategy, reference,
            unnest(case measure when 'released' then ['released'] else ['died', 'euthanased'] end) as ending
        from result.effects
        where "group" = 'all' and verdict not in ('', 'too few to tell', 'cannot be told apart')
    )
)

select
    curves.question, curves.strategy, told.reference = curves.strategy as is_reference, curves.ending, curves.day,
    round(curves.incidence, 2) as incidence
from result.effect_curves as curves
inner join told
    on curves.question = told.question and curves.strategy = told.strategy and curves.ending = told.ending
where not isnan(curves.incidence)
order by curves.question, curves.strategy, curves.ending, curves.day
