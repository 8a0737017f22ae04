-- A procedure lies before the admission or after the end of its stay.
-- level: question
-- remedy: Correct the day of the procedure or of the stay at the clinic
-- from: stage.procedures, stage.stays
select procedures.clinic, procedures.case_number, procedures.file_id, procedures.row_number,
    procedures.procedure || ' on ' || procedures.procedure_date as detail
from stage.procedures as procedures
inner join stage.stays as stays on procedures.stay_id = stays.stay_id and stays.standing = 'current'
where procedures.is_current
    and (procedures.procedure_date < stays.admission_date or procedures.procedure_date > stays.outcome_date)
