-- Whether a strategy's effect differs between groups of animals: the effect in a group less that in the first group.
-- key:  question, effect_by, group_code, strategy, measure
-- from: result.effect_interactions, result.effects, codes.words_for_codes
--
-- Only where the effect in both groups may be told.
--
-- columns:
--   question: name of the planned comparison
--   effect_by: the feature by which animals are grouped
--   group_code: the group
--   group_label: the group in words
--   compared_group_code: the group that it is compared with
--   compared_group_label: that group in words
--   strategy: strategy that is compared
--   reference: strategy that it is compared with
--   measure: released or died_or_euthanased
--   difference: the effect in the group less that in the compared group, points
--   low: lower 95 % limit
--   high: upper 95 % limit
--   p: chance of so large a difference if the effect were the same in both
with told as (
    select question, effect_by, "group", strategy, measure
    from result.effects
    where verdict not in ('', 'too few to tell', 'cannot be told apart') and clinics >= $minimum_clinics
)

select
    found.question,
    found.effect_by,
    found."group" as group_code,
    coalesce(words.label, found."group") as group_label,
    found.compared_group as compared_group_code,
    coalesce(first_words.label, found.compared_group) as compared_group_label,
    found.strategy,
    found.reference,
    found.measure,
    round(found.difference, 2) as difference,
    round(found.low, 2) as low,
    round(found.high, 2) as high,
    round(found.p, 4) as p
from result.effect_interactions as found
semi join told
    on found.question = told.question and found.effect_by = told.effect_by and found."group" = told."group"
    and found.strategy = told.strategy and found.measure = told.measure
semi join told as first_told
    on found.question = first_told.question and found.effect_by = first_told.effect_by
    and found.compared_group = first_told."group" and found.strategy = first_told.strategy
    and found.measure = first_told.measure
left join codes.words_for_codes as words on found.effect_by = words.vocabulary and found."group" = words.code
left join codes.words_for_codes as first_words
    on found.effect_by = first_words.vocabulary and found.compared_group = first_words.code
where not isnan(found.low)
order by found.question, found.effect_by, found."group", found.strategy, found.measure
