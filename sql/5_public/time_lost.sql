-- Mean days of a fixed horizon that animals spent in care and after each ending, by group.
-- key:  grouping, group_code, state
-- from: result.time_lost, withhold.decisions, codes.words_for_codes, codes.care_states
--
-- columns:
--   grouping: baseline feature by which cases are grouped; all = every tackle case
--   grouping_label: the feature in words
--   group_code: shared code of the group
--   group_label: the group in words
--   state: in_care, or after an ending: released, died, euthanased, other
--   state_label: the state in words
--   horizon_days: whole days from first admission up to which days are counted
--   days: mean days in the state up to the horizon; the states of a group add up to the horizon
--   low: lower 95 % limit, days
--   high: upper 95 % limit, days
--   note: why a figure is missing
with decided as (
    select
        lost.*,
        decisions.reason as withheld,
        decisions.reason is null and lost.animals >= $minimum_for_percentage as has_figures
    from result.time_lost as lost
    left join withhold.decisions as decisions on lost.grouping || '=' || lost.group_code = decisions.cell
)

select
    decided.grouping,
    in_letters(decided.grouping) as grouping_label,
    decided.group_code,
    coalesce(words.label, decided.group_code) as group_label,
    decided.state,
    states.label as state_label,
    decided.horizon_days,
    case when has_figures then round(days, 4) end as days,
    case when has_figures then round(low, 4) end as low,
    case when has_figures then round(high, 4) end as high,
    case
        when withheld is not null then 'withheld: ' || withheld
        when not has_figures then 'too few for a mean'
        when days is null then decided.reason
    end as note
from decided
inner join codes.care_states as states on decided.state = states.state
left join codes.words_for_codes as words on decided.grouping = words.vocabulary and decided.group_code = words.code
order by decided.grouping, decided.group_code, cast(states.rank as integer)
