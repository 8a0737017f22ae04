-- One row per piece of tackle that the columns tell of a current stay, in the shared codes.
-- key:  stay_id, gear_item_number
-- from: stage.gear_items, stage.stays, standard.word_codes, standard.injuries, codes.cause
--
-- Items listed on their own come first. A stay without any has one item made from its patient row, if that row
-- names gear or a hook, or a way of injuring in an animal that came because of tackle. A word that nobody has coded
-- yet ("gear: none") makes no animal a tackle case.
with listed as (
    select
        items.stay_id,
        items.clinic,
        items.file_id, items.row_number, items.item_number, items.block_number,
        coalesce(gear.own, injury.gear) as gear_code,
        coalesce(injury.own, gear.injury) as injury_code,
        coalesce(hook_kind.own, gear.hook_kind) as hook_kind_code,
        items.hook_size,
        barb.own as barb_code,
        items.line_strength,
        items.line_length,
        coalesce(body_site.own, injury.body_site) as body_site_code,
        coalesce(line_trailing.own, gear.line_trailing, injury.line_trailing) as line_trailing_code,
        coalesce(lead.own, gear.lead, injury.lead) as lead_code,
        gear_fate.own as gear_fate_code,
        items.gear_fate_date
    from stage.gear_items as items
    left join standard.word_codes as gear
        on items.clinic = gear.clinic and items.gear = gear.word and gear.field = 'gear'
    left join standard.word_codes as injury
        on items.clinic = injury.clinic and items.injury = injury.word and injury.field = 'injury'
    left join standard.word_codes as hook_kind
        on items.clinic = hook_kind.clinic and items.hook_kind = hook_kind.word and hook_kind.field = 'hook_kind'
    left join standard.word_codes as barb
        on items.clinic = barb.clinic and items.barb = barb.word and barb.field = 'barb'
    left join standard.word_codes as body_site
        on items.clinic = body_site.clinic and items.body_site = body_site.word and body_site.field = 'body_site'
    left join standard.word_codes as line_trailing
        on items.clinic = line_trailing.clinic and items.line_trailing = line_trailing.word
        and line_trailing.field = 'line_trailing'
    left join standard.word_codes as lead
        on items.clinic = lead.clinic and items.lead = lead.word and lead.field = 'lead'
    left join standard.word_codes as gear_fate
        on items.clinic = gear_fate.clinic and items.gear_fate = gear_fate.word and gear_fate.field = 'gear_fate'
    where items.is_current and items.stay_id is not null
),

from_patient_row as (
    select
        stays.stay_id, stays.clinic, stays.file_id, stays.row_number, 0 as item_number, 0 as block_number,
        stays.hook_size, stays.line_strength, stays.line_length,
        injuries.* exclude (record_id, cause_code, severity_code, injury_age_code, gear_at_release_code)
    from stage.stays as stays
    inner join standard.injuries as injuries on stays.record_id = injuries.record_id
    anti join listed on stays.stay_id = listed.stay_id
    left join codes.cause as cause on injuries.cause_code = cause.code
    where coalesce(nullif(injuries.gear_code, 'unmapped'), nullif(injuries.hook_kind_code, 'unmapped')) is not null
        or (cause.is_tackle = 'yes' and coalesce(injuries.gear_code, injuries.injury_code) is not null)
)

select
    * exclude (file_id, row_number, item_number, block_number),
    row_number() over (
        partition by stay_id order by file_id, row_number, item_number, block_number
    ) as gear_item_number
from (select * from listed union all by name select * from from_patient_row)
