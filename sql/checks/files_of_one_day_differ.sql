-- Two files or sources of one export date tell differently of one stay; which one is believed hangs on their names alone.
-- level: question
-- remedy: Set export_date_in_name in clinic.toml, or part the files into two sources, each with its own export_date
-- from: stage.stays, layout.stays, layout.gear_items, layout.procedures, layout.findings, raw.files
with ties as (
    select older.clinic, older.case_number, older.file_id, older.row_number,
        newer.file_id as believed_file_id, newer.row_number as believed_row_number
    from stage.stays as older
    inner join stage.stays as newer
        on older.clinic = newer.clinic and older.case_number = newer.case_number
        and older.animal_in_number = newer.animal_in_number and older.export_date = newer.export_date
        and newer.standing = 'current'
    where older.standing = 'superseded'
),

concerned as (
    select file_id, row_number from ties
    union
    select believed_file_id, believed_row_number from ties
),

records as (
    select file_id, row_number, to_json(stays) as record
    from layout.stays as stays
    inner join concerned using (file_id, row_number)
    union all
    select file_id, row_number, to_json(gear_items)
    from layout.gear_items as gear_items
    inner join concerned using (file_id, row_number)
    union all
    select file_id, row_number, to_json(procedures)
    from layout.procedures as procedures
    inner join concerned using (file_id, row_number)
    union all
    select file_id, row_number, to_json(findings)
    from layout.findings as findings
    inner join concerned using (file_id, row_number)
),

told as (
    select file_id, row_number,
        list_sort(list(json_merge_patch(record, '{"source": null, "file_id": null, "row_number": null, "block_number": null}'))) as said
    from records
    group by file_id, row_number
)

select ties.clinic, ties.case_number, ties.file_id, ties.row_number,
    'believed: row ' || ties.believed_row_number || ' of ' || files.path as detail
from ties
inner join raw.files as files on ties.believed_file_id = files.file_id
inner join told as this on ties.file_id = this.file_id and ties.row_number = this.row_number
inner join told as believed
    on ties.believed_file_id = believed.file_id and ties.believed_row_number = believed.row_number
where this.said <> believed.said
