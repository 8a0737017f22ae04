-- How resolved cases ended: released, died, euthanased or kept for good, one row per group, convention and ending.
-- key:  grouping, group_code, convention, ending
-- from: result.ending_rates, withhold.decisions, codes.words_for_codes, codes.outcome_class
--
-- columns:
--   grouping: baseline feature by which cases are grouped; all = every tackle case, all_causes = every case
--   group_code: shared code of the group
--   group_label: the group in words
--   convention: who is counted: resolved, or resolved_with_captive
--   ending: class of the ending
--   ending_label: the ending in words
--   count: animals that ended so
--   total: animals counted at all
--   unresolved: live admissions still in care, transferred out or of unknown ending
--   percent: count in percent of total; empty below the network's floor
--   wilson_low: lower 95 % limit, Wilson, percent
--   wilson_high: upper 95 % limit, Wilson, percent
--   exact_low: lower 95 % limit, exact, percent
--   exact_high: upper 95 % limit, exact, percent
--   bound_low: percent if no unresolved animal ended so
--   bound_high: percent if every unresolved animal ended so
--   note: why a figure is missing
with decided as (
    select
        rates.*,
        decisions.reason,
        decisions.reason is null as is_shown,
        decisions.reason is null and rates.total >= $minimum_for_percentage as has_percent
    from result.ending_rates as rates
    left join withhold.decisions as decisions on rates.grouping || '=' || rates.group_code = decisions.cell
)

select
    decided.grouping,
    decided.group_code,
    coalesce(words.label, decided.group_code) as group_label,
    decided.convention,
    decided.ending,
    classes.label as ending_label,
    case when is_shown then decided.count end as count,
    case when is_shown then decided.total end as total,
    case when is_shown then decided.unresolved end as unresolved,
    case when has_percent then round(percent, 4) end as percent,
    case when has_percent then round(wilson_low, 4) end as wilson_low,
    case when has_percent then round(wilson_high, 4) end as wilson_high,
    case when has_percent then round(exact_low, 4) end as exact_low,
    case when has_percent then round(exact_high, 4) end as exact_high,
    case when has_percent then round(bound_low, 4) end as bound_low,
    case when has_percent then round(bound_high, 4) end as bound_high,
    case
        when not is_shown then 'withheld: ' || reason
        when not has_percent then 'too few for a percentage'
    end as note
from decided
inner join codes.outcome_class as classes on decided.ending = classes.code
left join codes.words_for_codes as words on decided.grouping = words.vocabulary and decided.group_code = words.code
order by decided.grouping, decided.group_code, decided.convention, decided.ending
