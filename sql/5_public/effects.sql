-- The planned comparisons: which strategy gives the animals better odds, how much, and how sure that is.
-- key:  question, effect_by, group_code, strategy, measure
-- from: result.effects, codes.words_for_codes
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
--   adjusted_p: chance of a difference so large if there were none, allowing for all planned comparisons
--   verdict: what may be said, by written rules
--   certainty: very low, low or moderate; never high
--   reasons: what the verdict and the certainty rest on
--   events: outcomes in the smaller of both strategies
--   effective_size: effective number of animals in the smaller of both strategies
--   clinics_with_both: clinics that use both strategies
--   e_value: strength that unmeasured confounding would need to explain the limit nearer to none
select
    effects.question,
    effects.asks,
    effects.effect_by,
    effects."group" as group_code,
    coalesce(words.label, effects."group") as group_label,
    effects.strategy,
    effects.reference,
    effects.measure,
    effects.horizon_days,
    effects.eligible,
    case when is_told then round(effects.reference_estimate, 2) end as reference_estimate,
    case when is_told then round(effects.strategy_estimate, 2) end as strategy_estimate,
    case when is_told then round(effects.difference, 2) end as difference,
    case when is_told then round(effects.low, 2) end as low,
    case when is_told then round(effects.high, 2) end as high,
    case when is_told then round(effects.difference_truncated, 2) end as difference_truncated,
    case when is_told then round(effects.adjusted_p, 4) end as adjusted_p,
    effects.verdict,
    effects.certainty,
    effects.reasons,
    effects.events,
    effects.effective_size,
    effects.clinics_with_both,
    case when is_told then round(effects.e_value, 2) end as e_value
from (
    select
        *,
        not bool_or(verdict in ('too few to tell', 'cannot be told apart'))
            over (partition by question, effect_by, "group", strategy) as is_told
    from result.effects
    where clinics >= $minimum_clinics or "group" = 'all'
) as effects
left join codes.words_for_codes as words on effects.effect_by = words.vocabulary and effects."group" = words.code
order by effects.question, effects.effect_by, effects."group", effects.strategy, effects.measure
