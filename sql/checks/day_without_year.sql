-- A day is written without its year and the admission does not tell which, so it is withheld.
-- level: withheld
-- remedy: Write the year at the clinic, or correct the day: it lies before the admission or too long after it
-- from: stage.stays, stage.procedures, stage.findings
--
-- Too long: completed, it would be more than nine months from the admission; a day of finding likewise before it.
select clinic, case_number, file_id, row_number,
    concat_ws(
        ', ', 'admitted ' || admission_date,
        case when found_date is null and lacks_year(found_text) then 'found ' || found_text end,
        case when outcome_date is null and lacks_year(outcome_text) then 'ended ' || outcome_text end
    ) as detail
from stage.stays
where standing = 'current'
    and ((found_date is null and lacks_year(found_text)) or (outcome_date is null and lacks_year(outcome_text)))
union all
select clinic, case_number, file_id, row_number, procedure || ' on ' || procedure_date_text
from stage.procedures
where is_current and procedure_date is null and lacks_year(procedure_date_text)
union all
select clinic, case_number, file_id, row_number, concat_ws(' on ', finding, finding_date_text)
from stage.findings
where is_current and finding_date is null and lacks_year(finding_date_text)
