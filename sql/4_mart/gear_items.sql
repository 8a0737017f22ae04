-- One row per case and piece of tackle.
-- key:  case_id, gear_item_number
-- from: link.case_stays, link.case_starts, standard.stays, standard.gear_items, codes.injury, codes.body_site, codes.cause
--
-- The first stay whose columns tell of any tackle is believed: the next clinic sees the same hook again. If none
-- does, the first whose texts do, unless a stay of the case states a cause that is not tackle.
-- is_principal: the item that the case is grouped by, chosen by the ranks of injury and body site.
-- from_notes: something of it was read in a text; axes_from_notes: what.
with items as (
    select
        case_stays.case_id,
        case_stays.stay_number,
        starts.time_zero,
        items.* exclude (stay_id)
    from link.case_stays as case_stays
    inner join standard.stays as stays on case_stays.stay_id = stays.stay_id
    inner join link.case_starts as starts on case_stays.case_id = starts.case_id
    inner join standard.gear_items as items on stays.incident_id = items.stay_id
),

other_causes as (
    select case_stays.case_id
    from link.case_stays as case_stays
    inner join standard.stays as stays on case_stays.stay_id = stays.stay_id
    left join codes.cause as cause on stays.cause_code = cause.code
    where coalesce(stays.cause_code, 'undetermined') <> 'undetermined'
    group by case_stays.case_id
    having not bool_or(coalesce(cause.is_tackle = 'yes', false))
),

believed as (
    select items.*
    from items
    left join other_causes on items.case_id = other_causes.case_id
    where items.is_in_columns or other_causes.case_id is null
    qualify (not items.is_in_columns, items.stay_number)
        = min((not items.is_in_columns, items.stay_number)) over (partition by items.case_id)
),

ranked as (
    select
        believed.*,
        row_number() over (
            partition by believed.case_id
            order by
                cast(injury.rank as integer) nulls last, cast(body_site.rank as integer) nulls last,
                believed.gear_item_number
        ) as importance
    from believed
    left join codes.injury as injury on believed.injury_code = injury.code
    left join codes.body_site as body_site on believed.body_site_code = body_site.code
)

select
    case_id,
    gear_item_number,
    importance = 1 as is_principal,
    clinic,
    gear_code,
    injury_code,
    hook_kind_code,
    hook_size,
    barb_code,
    line_strength,
    line_length,
    body_site_code,
    line_trailing_code,
    lead_code,
    gear_fate_code,
    date_diff('day', time_zero, gear_fate_date) as gear_fate_days,
    len(axes_from_notes) > 0 as from_notes,
    axes_from_notes,
    is_in_columns
from ranked
