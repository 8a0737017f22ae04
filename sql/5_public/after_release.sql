-- Released animals that were seen again, admitted again or found dead. Not seen is not alive, and not dead either.
-- key:  grouping, group_code, event
-- from: result.after_release, withhold.decisions, codes.words_for_codes, codes.after_release_events
--
-- columns:
--   grouping: all, taxon_group, or gear_at_release (whether gear was still in it at release)
--   group_code: shared code of the group
--   group_label: the group in words
--   event: seen_again (in any way), readmitted or recovered_dead
--   event_label: the event in words
--   released: released tackle animals of the group
--   count: of these, known to have had the event
--   median_days: median days from release to the first such sight
--   quartile_low: first quartile, days
--   quartile_high: third quartile, days
--   note: why a figure is missing
with hidden as (
    select released.grouping, released.group_code, min(decisions.reason) as reason
    from (select distinct grouping, group_code from result.after_release) as released
    inner join withhold.decisions as decisions
        on decisions.cell in (
            released.grouping || '=' || released.group_code,
            'released|' || released.grouping || '=' || released.group_code
        )
    group by released.grouping, released.group_code
),

decided as (
    select
        released.*,
        hidden.reason,
        hidden.reason is null and released.dated >= $minimum_for_percentage as has_figures
    from result.after_release as released
    left join hidden using (grouping, group_code)
)

select
    decided.grouping,
    decided.group_code,
    coalesce(words.label, decided.group_code) as group_label,
    decided.event,
    events.label as event_label,
    case when reason is null then released end as released,
    case when reason is null then decided.count end as count,
    case when has_figures then median_days end as median_days,
    case when has_figures then quartile_low end as quartile_low,
    case when has_figures then quartile_high end as quartile_high,
    case
        when reason is not null then 'withheld: ' || reason
        when not has_figures then 'too few for a quartile'
    end as note
from decided
inner join codes.after_release_events as events on decided.event = events.event
left join codes.words_for_codes as words
    on if(decided.grouping = 'gear_at_release', 'yes_no', decided.grouping) = words.vocabulary
    and decided.group_code = words.code
order by decided.grouping, decided.group_code, cast(events.rank as integer)
