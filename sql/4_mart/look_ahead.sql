-- One row per case and landmark day at whose end its swallowed hook was still under watch: what came first after it.
-- key:  case_id, landmark_days
-- from: mart.watched_hooks, mart.findings, codes.look_ahead_landmarks
--
-- Under watch: in care, no attempt yet, not seen gone, and seen in place on the latest film; where the landmark asks for
-- it, that film found the hook where the film before it had, both within the landmark's window. Days count from the
-- landmark, so that the first is the day after it.
-- first_event: passed, attempt (the first, whatever its result), dead, left_care (alive, not seen to pass), or '' while
-- still watched or lost from sight. earliest_days: the same, but a hook has passed right after the last film that
-- still showed it (not before the landmark, for the film before a landmark may be older).
with films as (
    select
        case_id,
        finding_days as film_days,
        bool_or(finding_code = 'gear_unmoved') and not bool_or(finding_code = 'gear_moved') as is_unmoved
    from mart.findings
    where finding_code in ('gear_in_place', 'gear_unmoved', 'gear_moved') and finding_days >= 0
    group by case_id, finding_days
),

landmarks as (
    select
        cast(landmark_days as integer) as landmark_days,
        cast(window_days as integer) as window_days,
        needs_unmoved = 'yes' as needs_unmoved
    from codes.look_ahead_landmarks
),

filmed as (
    select films.case_id, landmarks.landmark_days
    from films
    inner join landmarks
        on films.film_days between landmarks.landmark_days - landmarks.window_days and landmarks.landmark_days
    group by films.case_id, landmarks.landmark_days, landmarks.needs_unmoved
    having not landmarks.needs_unmoved or (count(*) >= 2 and arg_max(films.is_unmoved, films.film_days))
),

under_watch as (
    select
        filmed.landmark_days,
        hooks.*,
        least(hooks.passed_days, hooks.attempt_days, hooks.stay_days) as first_days
    from filmed
    inner join mart.watched_hooks as hooks on filmed.case_id = hooks.case_id
    where hooks.why_left_out is null
        and least(hooks.passed_days, hooks.attempt_days, hooks.stay_days) > filmed.landmark_days
),

followed as (
    select
        *,
        case
            when passed_days = first_days then 'passed'
            when attempt_days = first_days then 'attempt'
            when outcome_class in ('died', 'euthanased') then 'dead'
            when outcome_class in ('released', 'captive', 'other_known') then 'left_care'
            else ''
        end as first_event
    from under_watch
)

select
    case_id,
    landmark_days,
    clinic,
    taxon_group_code,
    body_site_code,
    first_event,
    first_days - landmark_days as event_days,
    if(first_event = 'passed', greatest(last_in_place_days, landmark_days), first_days) - landmark_days as earliest_days
from followed
