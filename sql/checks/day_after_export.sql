-- A day lies after the export that tells of it.
-- level: question
-- remedy: Correct the day at the clinic; day and month may be swapped
-- from: stage.stays
select clinic, case_number, file_id, row_number,
    concat_ws(', ', 'admitted ' || admission_date, 'ended ' || outcome_date, 'exported ' || export_date) as detail
from stage.stays
where standing = 'current' and greatest(admission_date, outcome_date) > export_date
