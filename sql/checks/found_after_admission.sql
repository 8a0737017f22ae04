-- The animal was found after it had been admitted.
-- level: question
-- remedy: Correct one of the two days at the clinic; day and month may be swapped
-- from: stage.stays
select clinic, case_number, file_id, row_number, 'found ' || found_date || ', admitted ' || admission_date as detail
from stage.stays
where standing = 'current' and found_date > admission_date
