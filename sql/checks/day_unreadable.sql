-- A day of finding, ending, procedure or film cannot be read, so it is withheld.
-- level: withheld
-- remedy: Correct the day at the clinic: it does not exist, or is written in another order
-- from: stage.stays, stage.procedures, stage.findings
--
-- A day that only lacks its year is asked about in day_without_year.sql.
select clinic, case_number, file_id, row_number,
    concat_ws(
        ', ', case when found_date is null and not lacks_year(found_text) then 'found ' || found_text end,
        case when outcome_date is null and not lacks_year(outcome_text) then 'ended ' || outcome_text end
    ) as detail
from stage.stays
where standing = 'current' and (
    (found_date is null and found_text is not null and not lacks_year(found_text))
    or (outcome_date is null and outcome_text is not null and not lacks_year(outcome_text))
)
union all
select clinic, case_number, file_id, row_number, procedure || ' on ' || procedure_date_text
from stage.procedures
where is_current and procedure_date is null and procedure_date_text is not null
    and not lacks_year(procedure_date_text)
union all
select clinic, case_number, file_id, row_number, concat_ws(' on ', finding, finding_date_text)
from stage.findings
where is_current and finding_date is null and finding_date_text is not null and not lacks_year(finding_date_text)
