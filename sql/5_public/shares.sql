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
        decisions.reason is null and clinics >= $minimum_clinics as is_shown,
        decisions.reason is null and clinics >= $minimum_clinics and total >= $minimum_for_percentage as has_percent
    from result.shares as shares
    left join withhold.decisions as decisions on shares.axis || '=' || shares.code = decisions.cell
),

gaps as (
    select *, count_if(not is_shown) over (partition by level, axis) as gap_count
    from decided
),

closed as (
    select
        * replace (
            is_shown and not (
                gap_count = 1
                and row_number() over (partition by level, axis, is_shown order by count, code) = 1
            ) as is_shown
        )
    from gaps
)

select
    closed.level,
    closed.axis,
    closed.code,
    coalesce(words.label, closed.code) as label,
    case when is_shown then closed.count end as count,
    closed.total,
    case when is_shown and has_percent then round(percent, 4) end as percent,
    case when is_shown and has_percent then round(exact_low, 4) end as exact_low,
    case when is_shown and has_percent then round(exact_high, 4) end as exact_high,
    case
        when not is_shown then 'withheld: ' || coalesce(reason, 'fewer than ' || $minimum_clinics || ' clinics')
        when not has_percent then 'too few for a percentage'
    end as note
from closed
left join codes.words_for_codes as words on closed.axis = words.vocabulary and closed.code = words.code
order by closed.level, closed.axis, closed.total, closed.count desc, closed.code
