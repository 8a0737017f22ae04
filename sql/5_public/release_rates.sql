-- How many were released, of whom: one row per group and convention.
-- key:  grouping, group_code, convention
-- from: result.release_rates, withhold.decisions, codes.words_for_codes, codes.release_convention
--
-- columns:
--   grouping: baseline feature by which cases are grouped; all = every tackle case, all_causes = every case
--   group_code: shared code of the group
--   group_label: the group in words
--   convention: who is counted, a code of the list of conventions
--   convention_label: the convention in words
--   is_headline: true for the convention of the headline rate
--   animals: animals of the group, dead on arrival included
--   numerator: animals counted as released
--   denominator: animals counted at all
--   percent: numerator in percent of denominator; empty below the network's floor
--   wilson_low: lower 95 % limit, Wilson, percent
--   wilson_high: upper 95 % limit, Wilson, percent
--   exact_low: lower 95 % limit, exact, percent
--   exact_high: upper 95 % limit, exact, percent
--   bound_low: percent if no unresolved animal were released
--   bound_high: percent if every unresolved animal were released
--   pending: animals still in care
--   transferred: animals transferred out without a link
--   unknown: animals whose ending is not known
--   note: why a figure is missing
with decided as (
    select
        rates.*,
        decisions.reason,
        decisions.reason is null as is_shown,
        decisions.reason is null and rates.denominator >= $minimum_for_percentage as has_percent
    from result.release_rates as rates
    left join withhold.decisions as decisions on rates.grouping || '=' || rates.group_code = decisions.cell
)

select
    decided.grouping,
    decided.group_code,
    coalesce(words.label, decided.group_code) as group_label,
    decided.convention,
    conventions.label as convention_label,
    decided.convention = 'resolved' as is_headline,
    case when is_shown then animals end as animals,
    case when is_shown then decided.numerator end as numerator,
    case when is_shown then decided.denominator end as denominator,
    case when has_percent then round(percent, 4) end as percent,
    case when has_percent then round(wilson_low, 4) end as wilson_low,
    case when has_percent then round(wilson_high, 4) end as wilson_high,
    case when has_percent then round(exact_low, 4) end as exact_low,
    case when has_percent then round(exact_high, 4) end as exact_high,
    case when has_percent then round(bound_low, 4) end as bound_low,
    case when has_percent then round(bound_high, 4) end as bound_high,
    case when is_shown then pending end as pending,
    case when is_shown then transferred end as transferred,
    case when is_shown then decided.unknown end as unknown,
    case
        when not is_shown then 'withheld: ' || reason
        when not has_percent then 'too few for a percentage'
    end as note
from decided
inner join codes.release_convention as conventions on decided.convention = conventions.code
left join codes.words_for_codes as words on decided.grouping = words.vocabulary and decided.group_code = words.code
order by decided.grouping, decided.group_code, decided.convention
