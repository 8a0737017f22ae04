-- How much faster or slower animals of a group come to an ending, other features equal: cause-specific hazard ratios.
-- key:  ending, grouping, group_code
-- from: result.hazard_ratios, withhold.decisions, codes.words_for_codes, codes.outcome_class
--
-- One model an ending, stratified by clinic, robust by animal. Groups with fewer than ten such endings are not told.
--
-- columns:
--   ending: the ending whose hazard is compared
--   ending_label: the ending in words
--   grouping: the baseline feature
--   grouping_label: the feature in words
--   group_code: shared code of the group
--   group_label: the group in words
--   reference: the group that it is compared with
--   reference_label: that group in words
--   animals: animals of the group in the model
--   endings: endings of this kind among them
--   hazard_ratio: daily chance of the ending relative to the reference
--   low: lower 95 % limit
--   high: upper 95 % limit
--   proportional_p: chance of so strong a trend in time if the ratio were constant; small: it is an average over time
--   note: why a figure is missing
with decided as (
    select
        ratios.*,
        coalesce(own.reason, other.reason) as withheld,
        own.reason is null and other.reason is null as is_shown
    from result.hazard_ratios as ratios
    left join withhold.decisions as own on ratios.grouping || '=' || ratios.group_code = own.cell
    left join withhold.decisions as other on ratios.grouping || '=' || ratios.reference = other.cell
)

select
    decided.ending,
    classes.label as ending_label,
    decided.grouping,
    in_letters(decided.grouping) as grouping_label,
    decided.group_code,
    coalesce(words.label, decided.group_code) as group_label,
    decided.reference,
    coalesce(beside.label, decided.reference) as reference_label,
    case when is_shown then animals end as animals,
    case when is_shown then endings end as endings,
    case when is_shown then round(hazard_ratio, 4) end as hazard_ratio,
    case when is_shown then round(low, 4) end as low,
    case when is_shown then round(high, 4) end as high,
    case when is_shown then round(proportional_p, 6) end as proportional_p,
    case when not is_shown then 'withheld: ' || withheld else nullif(decided.reason, '') end as note
from decided
inner join codes.outcome_class as classes on decided.ending = classes.code
left join codes.words_for_codes as words on decided.grouping = words.vocabulary and decided.group_code = words.code
left join codes.words_for_codes as beside on decided.grouping = beside.vocabulary and decided.reference = beside.code
order by decided.ending, decided.grouping, decided.group_code
