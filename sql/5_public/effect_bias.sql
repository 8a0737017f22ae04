-- What the design of the planned comparisons removes: comparisons that mislead, beside the one that was planned.
-- key:  question, method
-- from: result.effect_bias, result.effects
--
-- Only questions whose planned comparison is told: beside "too few to tell" a biased figure would be the only one.
--
-- columns:
--   question: name of the planned comparison
--   asks: the question in words
--   method: how treated and untreated animals are compared
--   measure: released (points), or hazard ratio of death or euthanasia
--   value: treated less not treated, or the ratio
--   low: lower 95 % limit, empty if none can be given
--   high: upper 95 % limit, empty if none can be given
--   kind: as planned, another question, or biased, which is shown only to tell how it misleads
with first_contrasts as (
    select question, asks, verdict
    from result.effects
    where "group" = 'all' and measure = 'released'
    qualify row_number() over (partition by question order by rowid) = 1
)

select
    bias.question,
    contrasts.asks,
    bias.method,
    bias.measure,
    round(bias.value, 3) as value,
    round(bias.low, 3) as low,
    round(bias.high, 3) as high,
    bias.kind
from result.effect_bias as bias
inner join first_contrasts as contrasts on bias.question = contrasts.question
where
    contrasts.verdict not in ('', 'too few to tell', 'cannot be told apart')
    and bias.value is not null and not isnan(bias.value)
order by bias.question, bias.measure desc, bias.rowid
