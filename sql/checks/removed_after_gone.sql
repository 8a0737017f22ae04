-- A hook that was seen to have passed, or not seen on a film, is removed later.
-- level: question
-- remedy: Check the days of the film and of the removal at the clinic
-- from: mart.findings, mart.procedures, mart.stays, codes.procedure
select stays.clinic, stays.case_number, stays.file_id, cast(null as integer) as row_number,
    findings.finding_code || ' on day ' || findings.finding_days || ', ' || procedures.procedure_code || ' on day '
    || procedures.procedure_days as detail
from mart.findings as findings
inner join mart.procedures as procedures on findings.case_id = procedures.case_id
inner join codes.procedure as list on procedures.procedure_code = list.code
inner join mart.stays as stays on findings.case_id = stays.case_id and stays.is_last
where findings.finding_code in ('gear_passed', 'gear_not_seen') and list.is_attempt_at_removal = 'yes'
    and procedures.procedure_result_code = 'success' and procedures.procedure_days > findings.finding_days
