-- The planned comparisons: which strategy gives the animals better odds, how much, and how sure that is.
-- key:  question, effect_by, group_code, strategy, measure
-- from: result.effects, codes.words_for_codes
--
-- Figures stand only where the rules let something be said of that outcome; days free go with release, days lost
-- with death.
--
-- columns:
--   question: name of the planned comparison
--   asks: the question in words
--   effect_by: the feature by which animals are grouped, or all
--   group_code: the group, or all
--   group_label: the group in words
--   strategy: strategy that is compared
--   reference: strategy that it is compared with
--   measure: released, died_or_euthanased (percent of animals), days_free or days_lost (days)
--   horizon_days: days from admission at which it is read
--   eligible: animals that the comparison is about
--   reference_estimate: what would be seen under the reference
--   strategy_estimate: what would be seen under the strategy
--   difference: strategy minus reference, in points or days
--   low: lower 95 % limit
--   high: upper 95 % limit
--   difference_truncated: the difference with the largest weights cut
--   adjusted_p: chance of a difference so large if there were none, allowing for all that is compared
--   verdict: what may be said, by written rules
--   certainty: very low, low or moderate; never high
--   reasons: what the verdict and the certainty rest on
--   events: outcomes in the smaller of both strategies
--   effective_size: effective number of animals in the smaller of both strategies
--   clinics_with_both: clinics that use both strategies
--   e_value: strength that unmeasured confounding would need to explain the limit nearer to none
with outcomes as (
    select
        *, case measure when 'days_free' then 'released' when 'days_lost' then 'died_or_euthanased' else measure end
            as outcome
    from result.effects
    where clinics >= $minimum_clinics or "group" = 'all'
),

told as (
    select
        *, coalesce(not isnan(low), false) and not bool_or(verdict in ('too few to tell', 'cannot be told apart'))
            over (partition by question, effect_by, "group", strategy, outcome) as is_told
    from outcomes
)

select
    told.question,
    told.asks,
    told.effect_by,
    told."group" as group_code,
    coalesce(words.label, told."group") as group_label,
    told.strategy,
    told.reference,
    told.measure,
    told.horizon_days,
    told.eligible,
    case when is_told then round(told.reference_estimate, 2) end as reference_estimate,
    case when is_told then round(told.strategy_estimate, 2) end as strategy_estimate,
    case when is_told then round(told.difference, 2) end as difference,
    case when is_told then round(told.low, 2) end as low,
    case when is_told then round(told.high, 2) end as high,
    case when is_told then round(told.difference_truncated, 2) end as difference_truncated,
    case when is_told and not isnan(told.adjusted_p) then round(told.adjusted_p, 4) end as adjusted_p,
    told.verdict,
    told.certainty,
    told.reasons,
    told.events,
    told.effective_size,
    told.clinics_with_both,
    case when is_told and not isnan(told.e_value) then round(told.e_value, 2) end as e_value
from told
left join codes.words_for_codes as words on told.effect_by = words.vocabulary and told."group" = words.code
order by told.question, told.effect_by, told."group", told.strategy, told.measure
