-- An animal was released on the day of an operation through the body wall or the neck (common practice, no source).
-- level: question
-- remedy: Check the day of the operation and of the release at the clinic
-- from: mart.procedures, mart.cases, mart.stays
select stays.clinic, stays.case_number, stays.file_id, cast(null as integer) as row_number,
    procedures.procedure_code || ' on ' || procedures.procedure_date as detail
from mart.procedures as procedures
inner join mart.cases as cases on procedures.case_id = cases.case_id
inner join mart.stays as stays on cases.case_id = stays.case_id and stays.is_last
where procedures.procedure_code in ('surgery_coeliotomy', 'surgery_oesophagotomy')
    and cases.outcome_class = 'released' and procedures.procedure_date = cases.outcome_date
