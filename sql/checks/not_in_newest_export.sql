-- A stay of an earlier export is missing from the newest one of its source; it is kept.
-- level: question
-- remedy: Ask the clinic whether it was deleted on purpose; nothing is dropped here
-- from: stage.stays
with newest as (
    select clinic, source, max(export_date) as export_date, min(admission_date) as first_admission
    from stage.stays
    group by clinic, source
),

reach as (
    select stays.clinic, stays.source, min(stays.admission_date) as first_admission
    from stage.stays as stays
    inner join newest on stays.clinic = newest.clinic and stays.source = newest.source
        and stays.export_date = newest.export_date
    group by stays.clinic, stays.source
)

select stays.clinic, stays.case_number, stays.file_id, stays.row_number, 'last seen in the export of '
    || stays.export_date as detail
from stage.stays as stays
inner join newest on stays.clinic = newest.clinic and stays.source = newest.source
inner join reach on stays.clinic = reach.clinic and stays.source = reach.source
where stays.standing = 'current' and stays.export_date < newest.export_date
    and stays.admission_date >= reach.first_admission
