-- Gear was taken out of an animal that did not come because of tackle.
-- level: question
-- remedy: Correct the cause or the procedure at the clinic, or the code of one of the two words
-- from: mart.cases, mart.stays, mart.procedures
select stays.clinic, stays.case_number, stays.file_id, cast(null as integer) as row_number,
    procedures.procedure_code || ', cause ' || coalesce(cases.cause_code, 'not stated') as detail
from mart.procedures as procedures
inner join mart.cases as cases on procedures.case_id = cases.case_id
inner join mart.stays as stays on cases.case_id = stays.case_id and stays.stay_number = 1
where not cases.is_tackle and coalesce(cases.cause_code, '') <> 'entanglement_other'
    and procedures.procedure_kind = 'retrieval' and procedures.procedure_result_code = 'success'
