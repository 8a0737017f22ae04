-- One row per case and piece of tackle.
-- key:  case_id, gear_item_number
-- from: link.case_stays, standard.stays, standard.gear_items, codes.injury, codes.body_site
--
-- The first stay that tells of any tackle is believed: the next clinic sees the same hook again.
-- is_principal: the item that the case is grouped by, chosen by the ranks of injury and body site.
with items as (
    select
        case_stays.case_id,
        case_stays.stay_number,
        first_stays.admission_date as time_zero,
        items.* exclude (stay_id),
        min(case_stays.stay_number) over (partition by case_stays.case_id) as first_stay_with_gear
    from link.case_stays as case_stays
    inner join standard.stays as stays on case_stays.stay_id = stays.stay_id
    inner join standard.stays as first_stays on case_stays.case_id = first_stays.stay_id
    inner join standard.gear_items as items on stays.incident_id = items.stay_id
),

ranked as (
    select
        items.*,
        row_number() over (
            partition by items.case_id
            order by
                cast(injury.rank as integer) nulls last, cast(body_site.rank as integer) nulls last,
                items.gear_item_number
        ) as importance
    from items
    left join codes.injury as injury on items.injury_code = injury.code
    left join codes.body_site as body_site on items.body_site_code = body_site.code
    where items.stay_number = items.first_stay_with_gear
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
    date_diff('day', time_zero, gear_fate_date) as gear_fate_days
from ranked
