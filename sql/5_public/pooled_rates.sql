-- Release among resolved live admissions, pooled over clinics: limits that allow for clinics, and each group beside the rest.
-- key:  grouping, group_code
-- from: result.pooled_rates, withhold.decisions, codes.words_for_codes
--
-- columns:
--   grouping: baseline feature by which cases are grouped; all = every tackle case, all_causes = every case
--   group_code: shared code of the group
--   group_label: the group in words
--   clinics: clinics with at least one animal in the denominator
--   numerator: animals released
--   denominator: animals released, died or euthanased (admitted alive)
--   percent: numerator in percent of denominator; empty below the network's floor
--   clustered_low: lower 95 % limit that allows for clinics, percent
--   clustered_high: upper 95 % limit that allows for clinics, percent
--   degrees_of_freedom: of these limits; the fewer, the wider
--   clustered_reason: why there are no such limits
--   shrunken: the group's rate drawn towards that of a typical group, percent
--   shrunken_low: its lower 95 % limit, percent
--   shrunken_high: its upper 95 % limit, percent
--   shrunken_reason: why nothing was shrunk
--   difference: percent less that of the other stated groups, percentage points
--   difference_low: its lower 95 % limit (Newcombe), percentage points
--   difference_high: its upper 95 % limit (Newcombe), percentage points
--   clustered_difference_low: its lower 95 % limit that allows for clinics, percentage points
--   clustered_difference_high: its upper 95 % limit that allows for clinics, percentage points
--   difference_reason: why there is no difference
--   ratio: rate over that of the other stated groups
--   ratio_low: its lower 95 % limit
--   ratio_high: its upper 95 % limit
--   note: why a figure is missing
-- The rest of a grouping leaves out animals whose record is silent; where their cell is withheld, the rest would give
-- it away, and there is no difference.
with decided as (
    select
        rates.*,
        decisions.reason,
        decisions.reason is null as is_shown,
        decisions.reason is null and rates.denominator >= $minimum_for_percentage as has_percent,
        decisions.reason is null and rates.denominator >= $minimum_for_percentage and silent.cell is null as has_rest
    from result.pooled_rates as rates
    left join withhold.decisions as decisions on rates.grouping || '=' || rates.group_code = decisions.cell
    left join (
        select split_part(cell, '=', 1) as cell from withhold.decisions
        where split_part(cell, '=', 2) in ('not_stated', 'unmapped') group by all
    ) as silent on rates.grouping = silent.cell
)

select
    decided.grouping, decided.group_code, coalesce(words.label, decided.group_code) as group_label,
    case when is_shown then clinics end as clinics,
    case when is_shown then decided.numerator end as numerator,
    case when is_shown then decided.denominator end as denominator,
    case when has_percent then round(percent, 4) end as percent,
    case when has_percent then round(clustered_low, 4) end as clustered_low,
    case when has_percent then round(clustered_high, 4) end as clustered_high,
    case when has_percent then round(degrees_of_freedom, 2) end as degrees_of_freedom,
    case when has_percent then nullif(clustered_reason, '') end as clustered_reason,
    case when has_percent then round(shrunken, 4) end as shrunken,
    case when has_percent then round(shrunken_low, 4) end as shrunken_low,
    case when has_percent then round(shrunken_high, 4) end as shrunken_high,
    case when has_percent then nullif(shrunken_reason, '') end as shrunken_reason,
    case when has_rest then round(difference, 4) end as difference,
    case when has_rest then round(difference_low, 4) end as difference_low,
    case when has_rest then round(difference_high, 4) end as difference_high,
    case when has_rest then round(clustered_difference_low, 4) end as clustered_difference_low,
    case when has_rest then round(clustered_difference_high, 4) end as clustered_difference_high,
    case when has_percent and not has_rest then 'withheld: the rest would give away a withheld cell' end as difference_reason,
    case when has_rest then round(ratio, 4) end as ratio,
    case when has_rest then round(ratio_low, 4) end as ratio_low, case when has_rest then round(ratio_high, 4) end as ratio_high,
    case when not is_shown then 'withheld: ' || reason when not has_percent then 'too few for a percentage' end as note
from decided
left join codes.words_for_codes as words on decided.grouping = words.vocabulary and decided.group_code = words.code
order by decided.grouping, decided.group_code
