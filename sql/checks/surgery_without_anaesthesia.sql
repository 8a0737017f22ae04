-- An operation through the body wall or the neck is said to have been done without any anaesthesia.
-- level: question
-- remedy: Correct the anaesthesia or the procedure at the clinic
-- from: standard.procedures, stage.stays
select stays.clinic, stays.case_number, stays.file_id, stays.row_number,
    concat_ws(' on ', procedures.procedure_code, procedures.procedure_date) as detail
from standard.procedures as procedures
inner join stage.stays as stays on procedures.stay_id = stays.stay_id and stays.standing = 'current'
where procedures.procedure_kind = 'surgery' and procedures.anaesthesia_code = 'none'
