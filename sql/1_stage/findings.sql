-- One row per finding (an X-ray's, a lead level, "worse") that an export tells of, typed, with its stay.
-- key:  file_id, row_number, item_number, block_number
-- from: layout.findings, clinic.sources, raw.files, stage.stays
--
-- Belonging and the newest export's word are settled as in procedures.sql.
with joined as (
    select
        findings.clinic,
        findings.source,
        findings.file_id,
        findings.row_number,
        findings.item_number,
        findings.block_number,
        files.export_date,
        coalesce(findings.case_number, rows_stay.case_number) as case_number,
        rows_stay.animal_in_number,
        rows_stay.file_id as file_of_row,
        coalesce(rows_stay.standing = 'repeat', false) as is_of_repeat,
        findings.finding,
        as_day(findings.finding_date, sources.date_order, sources.timezone) as finding_date,
        findings.finding_date as finding_date_text,
        as_number(findings.finding_value, sources.decimal_sign) as finding_value,
        findings.finding_value as finding_value_text,
        findings.finding_unit,
        findings.finding_note
    from layout.findings as findings
    inner join clinic.sources as sources
        on findings.clinic = sources.clinic and findings.source = sources.source
    inner join raw.files as files on findings.file_id = files.file_id
    left join stage.stays as rows_stay
        on findings.case_number is null
        and findings.file_id = rows_stay.file_id and findings.row_number = rows_stay.row_number
    where findings.finding is not null or findings.finding_value is not null
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
