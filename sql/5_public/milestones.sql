-- Convalescence of freshwater turtles after a coeliotomy: days to each milestone, beside the windows of common practice.
-- key:  milestone
-- from: result.milestones, withhold.decisions, codes.convalescence_window
--
-- columns:
--   milestone: the milestone
--   label: the milestone in words
--   operated: freshwater turtles with a dated coeliotomy
--   animals: of these, with a dated milestone after it
--   median_days: median days after the last coeliotomy
--   quartile_low: first quartile, days
--   quartile_high: third quartile, days
--   from_days: first day of the window of common practice, after the operation
--   until_days: last day of the window; empty if it has no end
--   practice: the practice in words
--   source: where the window comes from
--   within: animals whose milestone came within the window
--   note: why a figure is missing
with decided as (
    select
        milestones.*,
        coalesce(decisions.reason, everybody.reason) as reason,
        coalesce(decisions.reason, everybody.reason) is null as is_shown
    from result.milestones as milestones
    left join withhold.decisions as decisions on 'milestone=' || milestones.milestone = decisions.cell
    left join withhold.decisions as everybody on everybody.cell = 'milestone=operation'
)

select
    decided.milestone,
    windows.label,
    case when is_shown then operated end as operated,
    case when is_shown then animals end as animals,
    case when is_shown and animals >= $minimum_for_percentage then median_days end as median_days,
    case when is_shown and animals >= $minimum_for_percentage then quartile_low end as quartile_low,
    case when is_shown and animals >= $minimum_for_percentage then quartile_high end as quartile_high,
    decided.from_days,
    decided.until_days,
    windows.practice,
    windows.source,
    case when is_shown then decided.within end as within,
    case
        when not is_shown then 'withheld: ' || reason
        when animals < $minimum_for_percentage then 'too few for a quartile'
    end as note
from decided
inner join codes.convalescence_window as windows on decided.milestone = windows.milestone
order by decided.from_days, decided.milestone
