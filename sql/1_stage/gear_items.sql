-- One row per piece of tackle that an export lists on its own, with the stay that it belongs to.
-- key:  file_id, row_number, item_number, block_number
-- from: layout.gear_items, clinic.sources, raw.files, stage.stays
--
-- Belonging and the newest export's word are settled as in procedures.sql. A clinic that has one set of gear
-- columns in its patient row tells of it there; 2_standard makes that one item.
with joined as (
    select
        gear_items.* exclude (case_number, gear_fate_date),
        files.export_date,
        coalesce(gear_items.case_number, rows_stay.case_number) as case_number,
        rows_stay.animal_in_number,
        rows_stay.file_id as file_of_row,
        coalesce(rows_stay.standing = 'repeat', false) as is_of_repeat,
        as_day(gear_items.gear_fate_date, sources.date_order, sources.timezone) as gear_fate_date
    from layout.gear_items as gear_items
    inner join clinic.sources as sources
        on gear_items.clinic = sources.clinic and gear_items.source = sources.source
    inner join raw.files as files on gear_items.file_id = files.file_id
    left join stage.stays as rows_stay
        on gear_items.case_number is null
        and gear_items.file_id = rows_stay.file_id and gear_items.row_number = rows_stay.row_number
    where coalesce(gear_items.gear, gear_items.injury, gear_items.body_site, gear_items.hook_kind) is not null
),

matched as (
    select joined.*, stays.stay_id
    from joined
    left join stage.stays as stays
        on joined.clinic = stays.clinic and joined.case_number = stays.case_number
        and coalesce(joined.animal_in_number, 1) = stays.animal_in_number and stays.standing = 'current'
)

select
    * exclude (file_of_row, is_of_repeat),
    coalesce(not is_of_repeat and (export_date, coalesce(file_of_row, 0)) = max((export_date, coalesce(file_of_row, 0)))
        filter (where not is_of_repeat) over (partition by stay_id, source), false) as is_current
from matched
