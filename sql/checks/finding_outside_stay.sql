-- A film or test lies before the admission or after the end of its stay.
-- level: question
-- remedy: Correct the day of the film or test, or of the stay, at the clinic
-- from: stage.findings, stage.stays
select findings.clinic, findings.case_number, findings.file_id, findings.row_number,
    concat_ws(' on ', findings.finding, findings.finding_date) as detail
from stage.findings as findings
inner join stage.stays as stays on findings.stay_id = stays.stay_id and stays.standing = 'current'
where findings.is_current
    and (findings.finding_date < stays.admission_date or findings.finding_date > stays.outcome_date)
