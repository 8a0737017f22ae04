-- One row per procedure that an export tells of, typed, with the stay that it belongs to.
-- key:  file_id, row_number, item_number, block_number
-- from: layout.procedures, clinic.sources, raw.files, stage.stays
--
-- A record without a case number belongs to the row it stands in; a row that a later one of its file repeats has
-- no say. Of several exports of one source the newest that tells of any procedure of the stay is believed as a
-- whole: a corrected list replaces the old one.
with joined as (
    select
        procedures.clinic,
        procedures.source,
        procedures.file_id,
        procedures.row_number,
        procedures.item_number,
        procedures.block_number,
        files.export_date,
        coalesce(procedures.case_number, rows_stay.case_number) as case_number,
        rows_stay.animal_in_number,
        rows_stay.file_id as file_of_row,
        coalesce(rows_stay.standing = 'repeat', false) as is_of_repeat,
        procedures.procedure,
        as_day(procedures.procedure_date, sources.date_order, sources.timezone) as procedure_date,
        procedures.procedure_date as procedure_date_text,
        as_count(procedures.procedure_order, '.') as procedure_order,
        procedures.procedure_reason,
        procedures.anaesthesia,
        procedures.procedure_result,
        procedures.complication,
        procedures.procedure_note
    from layout.procedures as procedures
    inner join clinic.sources as sources
        on procedures.clinic = sources.clinic and procedures.source = sources.source
    inner join raw.files as files on procedures.file_id = files.file_id
    left join stage.stays as rows_stay
        on procedures.case_number is null
        and procedures.file_id = rows_stay.file_id and procedures.row_number = rows_stay.row_number
    where procedures.procedure is not null
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
