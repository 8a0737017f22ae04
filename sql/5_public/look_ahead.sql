-- A swallowed hook under watch: what happened first in the days after, under the clinics' usual practice.
-- key:  landmark_days, taxon_group_code, body_site_code, event, horizon_days
-- from: result.look_ahead, withhold.decisions, codes.words_for_codes, codes.look_ahead_landmarks, codes.look_ahead_events
--
-- columns:
--   landmark_days: whole days from first admission to the day that is asked about
--   landmark_label: that day in words, with what was seen up to it
--   taxon_group_code: the animals, or all
--   taxon_group_label: the animals in words
--   body_site_code: where the hook is, or all
--   body_site_label: the body site in words
--   event: what came first, or still_there
--   event_label: the event in words
--   horizon_days: whole days after that day at which the chance is read
--   animals: animals whose hook was under watch at the end of that day
--   count: of these, seen to have the event first by the horizon
--   chance: chance of it by the horizon, a passing counted on the day of the film that saw it, percent
--   low: lower 95 % limit on the log(-log) scale, percent
--   high: upper 95 % limit on the log(-log) scale, percent
--   chance_if_early: the same chance, a passing counted on the day of the last film before, percent
--   note: why a figure is missing
with decided as (
    select
        ahead.*,
        decisions.reason,
        decisions.reason is null as is_shown,
        decisions.reason is null and animals >= $minimum_for_percentage as has_percent
    from result.look_ahead as ahead
    left join withhold.decisions as decisions
        on concat_ws('|', 'look_ahead', landmark_days, taxon_group_code, body_site_code) = decisions.cell
)

select
    decided.landmark_days,
    landmarks.label as landmark_label,
    decided.taxon_group_code,
    coalesce(taxon.label, case taxon_group_code when 'all' then 'All animals' else 'Not stated' end) as taxon_group_label,
    decided.body_site_code,
    coalesce(site.label, case body_site_code when 'all' then 'All sites' else 'Not stated' end) as body_site_label,
    decided.event,
    events.label as event_label,
    decided.horizon_days,
    case when is_shown then decided.animals end as animals,
    case when has_percent then decided.count end as count,
    case when has_percent then round(chance, 4) end as chance,
    case when has_percent then round(low, 4) end as low,
    case when has_percent then round(high, 4) end as high,
    case when has_percent then round(chance_if_early, 4) end as chance_if_early,
    case
        when not is_shown then 'withheld: ' || reason
        when not has_percent then 'too few for a percentage'
        when chance is null then 'nobody was watched so long'
    end as note
from decided
inner join codes.look_ahead_landmarks as landmarks
    on decided.landmark_days = cast(landmarks.landmark_days as integer)
inner join codes.look_ahead_events as events on decided.event = events.event
left join codes.words_for_codes as taxon on taxon.vocabulary = 'taxon_group' and taxon_group_code = taxon.code
left join codes.words_for_codes as site on site.vocabulary = 'body_site' and body_site_code = site.code
order by decided.landmark_days, taxon_group_code, body_site_code, decided.horizon_days, cast(events.rank as integer)
