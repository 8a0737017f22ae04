-- A procedure or finding lies after the export that tells of it.
-- level: question
-- remedy: Correct the day at the clinic; day and month may be swapped
-- from: stage.procedures, stage.findings
select clinic, case_number, file_id, row_number, procedure || ' on ' || procedure_date as detail
from stage.procedures
where is_current and procedure_date > export_date
union all
select clinic, case_number, file_id, row_number, concat_ws(' on ', finding, finding_date)
from stage.findings
where is_current and finding_date > export_date
