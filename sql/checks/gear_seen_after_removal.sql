-- The only piece of gear is seen on a film after it was removed.
-- level: question
-- remedy: Check the result of the removal and the day of the film at the clinic; there may have been a second piece
-- from: mart.cases, mart.stays, mart.procedures, mart.findings, codes.procedure
select stays.clinic, stays.case_number, stays.file_id, cast(null as integer) as row_number,
    procedures.procedure_code || ' on day ' || procedures.procedure_days || ', ' || findings.finding_code || ' on day '
    || findings.finding_days as detail
from mart.procedures as procedures
inner join codes.procedure as list on procedures.procedure_code = list.code and list.is_attempt_at_removal = 'yes'
inner join mart.findings as findings on procedures.case_id = findings.case_id
inner join mart.cases as cases on procedures.case_id = cases.case_id and cases.gear_item_count = 1
inner join mart.stays as stays on cases.case_id = stays.case_id and stays.is_last
where procedures.procedure_result_code = 'success'
    and findings.finding_code in ('gear_in_place', 'gear_unmoved', 'gear_moved')
    and findings.finding_days > procedures.procedure_days
