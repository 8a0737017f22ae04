-- The stay ends before it begins.
-- level: question
-- remedy: Correct one of the two days at the clinic
-- from: stage.stays
select clinic, case_number, file_id, row_number,
    'admitted ' || admission_date || ', ended ' || outcome_date as detail
from stage.stays
where standing = 'current' and outcome_date < admission_date
