-- One row per field of a stay that a later record of it changed: what it was, what it became, which export said so.
-- key:  stay_id, field, file_id, row_number
-- from: stage.stays
--
-- The newest record is believed as a whole; this keeps what it replaced, field by field.
with told_again as (
    select *
    from stage.stays
    qualify count(*) over (partition by stay_id) > 1
),

said as (
    unpivot (
        select
            stay_id, export_date, file_id, row_number,
            coalesce(cast(columns(* exclude (
                record_id, clinic, source, case_number, stay_id, animal_in_number, export_date, file_id, row_number,
                standing, admission_text, outcome_text, found_text, mass_text, latitude_text, longitude_text, count_texts
            )) as varchar), '')
        from told_again
    )
    on columns(* exclude (stay_id, export_date, file_id, row_number))
    into name field value value
),

compared as (
    select
        *,
        lag(value) over in_time as old_value,
        row_number() over in_time as place
    from said
    window in_time as (partition by stay_id, field order by export_date, file_id, row_number)
)

select
    stay_id, field, export_date, file_id, row_number,
    nullif(old_value, '') as old_value, nullif(value, '') as new_value
from compared
where place > 1 and value is distinct from old_value
