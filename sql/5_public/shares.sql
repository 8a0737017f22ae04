-- What share of animals, of gear items and of procedures was of each kind; tackle cases only.
-- key:  level, axis, code
-- from: result.shares, withhold.decisions, codes.words_for_codes
--
-- columns:
--   level: what is counted: animal, gear_item or procedure
--   axis: the feature
--   code: its shared code; not_stated where the record is silent
--   label: the code in words
--   count: how many
--   total: of how many
--   percent: count in percent of total; empty below the network's floor
--   exact_low: lower 95 % limit, exact, percent
--   exact_high: upper 95 % limit, exact, percent
--   note: why a figure is missing
with decided as (
    select
        shares.*,
        decisions.reason,
        decisions.reason is null as is_shown,
        decisions.reason is null and shares.total >= $minimum_for_percentage as has_percent
    from result.shares as shares
    left join withhold.decisions as decisions
        on if(shares.level = 'animal', '', shares.level || '|') || shares.axis || '=' || shares.code = decisions.cell
)

select
    decided.level,
    decided.axis,
    decided.code,
    coalesce(words.label, decided.code) as label,
    case when is_shown then decided.count end as count,
    decided.total,
    case when has_percent then round(percent, 4) end as percent,
    case when has_percent then round(exact_low, 4) end as exact_low,
    case when has_percent then round(exact_high, 4) end as exact_high,
    case
        when not is_shown then 'withheld: ' || reason
        when not has_percent then 'too few for a percentage'
    end as note
from decided
left join codes.words_for_codes as words on decided.axis = words.vocabulary and decided.code = words.code
order by decided.level, decided.axis, decided.total, decided.count desc, decided.code
