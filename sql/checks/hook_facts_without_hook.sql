-- A kind of hook or a barb is stated of gear that has no hook.
-- level: question
-- remedy: Correct the gear, or take out the facts of the hook, at the clinic
-- from: mart.gear_items, mart.stays, codes.gear
select stays.clinic, stays.case_number, stays.file_id, cast(null as integer) as row_number,
    concat_ws(', ', items.gear_code, items.hook_kind_code, items.barb_code) as detail
from mart.gear_items as items
inner join codes.gear as gear on items.gear_code = gear.code
inner join mart.stays as stays on items.case_id = stays.case_id and stays.stay_number = 1
where gear.is_hook = 'no' and items.gear_code <> 'unspecified_tackle'
    and coalesce(nullif(items.hook_kind_code, 'unmapped'), nullif(items.barb_code, 'unmapped')) is not null
