-- A stay lasted more than three years; the year of one of its days may be wrong (common practice, no source).
-- level: question
-- remedy: Check the year of the admission and of the ending at the clinic
-- from: stage.stays
select clinic, case_number, file_id, row_number,
    'admitted ' || admission_date || ', ended ' || outcome_date as detail
from stage.stays
where standing = 'current' and outcome_date > admission_date + 1095
