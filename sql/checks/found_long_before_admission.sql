-- The animal was found more than three months before it was admitted (common practice, no source).
-- level: question
-- remedy: Ask the clinic whether the year is right, or where the animal was in the meantime
-- from: stage.stays
select clinic, case_number, file_id, row_number, 'found ' || found_date || ', admitted ' || admission_date as detail
from stage.stays
where standing = 'current' and found_date < admission_date - 92
