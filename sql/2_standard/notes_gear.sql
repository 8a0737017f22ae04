-- One row per stay whose texts say something plain of tackle: its axes side by side, and whether they may make a piece.
-- key:  stay_id
-- from: standard.notes_said, stage.stays, standard.injuries, codes.cause, codes.gear
--
-- They may if the animal came because of tackle; or if its cause is open and they name hook, lure, line or weight
-- and how it injured. Another cause that the columns state is never overruled: checks/notes_tell_of_tackle.sql asks.
with said as (
    select
        stay_id,
        max(code) filter (where axis = 'gear') as gear_code,
        max(code) filter (where axis = 'injury') as injury_code,
        max(code) filter (where axis = 'hook_kind') as hook_kind_code,
        max(code) filter (where axis = 'body_site') as body_site_code,
        max(code) filter (where axis = 'line_trailing') as line_trailing_code,
        max(code) filter (where axis = 'lead') as lead_code
    from standard.notes_said
    where axis in ('gear', 'injury', 'hook_kind', 'body_site', 'line_trailing', 'lead') and code is not null
    group by stay_id
),

beside_columns as (
    select
        said.*,
        stays.clinic,
        cause.is_tackle = 'yes' as is_tackle,
        coalesce(injuries.cause_code, 'undetermined') = 'undetermined' as is_open,
        said.injury_code is not null and 'yes' in (gear.is_hook, gear.is_line, gear.is_lead_gear) as is_plain
    from said
    inner join stage.stays as stays on said.stay_id = stays.stay_id and stays.standing = 'current'
    inner join standard.injuries as injuries on stays.record_id = injuries.record_id
    left join codes.cause as cause on injuries.cause_code = cause.code
    left join codes.gear as gear on said.gear_code = gear.code
)

select
    * exclude (is_tackle, is_open, is_plain),
    coalesce(is_plain, false) as is_plain_tackle,
    coalesce(
        (is_tackle and coalesce(gear_code, injury_code) is not null) or (is_open and is_plain), false
    ) as may_make_a_piece
from beside_columns
