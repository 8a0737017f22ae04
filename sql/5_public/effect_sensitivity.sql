-- What becomes of a planned comparison's difference under other suppositions, in all eligible animals.
-- key:  question, strategy, measure, scenario
-- from: result.effect_sensitivity, result.effects
--
-- columns:
--   question: name of the planned comparison
--   asks: the question in words
--   strategy: strategy that is compared
--   reference: strategy that it is compared with
--   measure: released or died_or_euthanased
--   scenario: what is supposed
--   scenario_label: the same in words
--   animals: animals that the supposition changes or leaves out, 0 for whole clinics
--   difference: strategy minus reference under the supposition, points
select
    sensitivity.question,
    effects.asks,
    sensitivity.strategy,
    sensitivity.reference,
    sensitivity.measure,
    sensitivity.scenario,
    case sensitivity.scenario
        when 'planned' then 'As planned'
        when 'lost_released' then 'Those lost from sight were released then'
        when 'lost_died' then 'Those lost from sight died then'
        when 'open_released' then 'All without a known ending were released'
        when 'open_died' then 'All without a known ending died'
        when 'least' then 'Their endings as unlike as can be: the least'
        when 'most' then 'Their endings as unlike as can be: the most'
        when 'without_notes' then 'Without animals of which something stands only in notes'
        when 'clinic_left_out_min' then 'One clinic left out: the least'
        when 'clinic_left_out_max' then 'One clinic left out: the most'
        else sensitivity.scenario
    end as scenario_label,
    sensitivity.animals,
    round(sensitivity.difference, 2) as difference
from result.effect_sensitivity as sensitivity
inner join result.effects as effects
    on sensitivity.question = effects.question and sensitivity.strategy = effects.strategy
    and sensitivity.measure = effects.measure and effects."group" = 'all'
where
    effects.verdict not in ('', 'too few to tell', 'cannot be told apart')
    and not isnan(sensitivity.difference)
order by sensitivity.question, sensitivity.strategy, sensitivity.measure, sensitivity.rowid
