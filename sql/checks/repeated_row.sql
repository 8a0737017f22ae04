-- The same stay stands twice in one file; the later row is believed.
-- level: question
-- remedy: Delete the row that is wrong at the clinic
-- from: stage.stays
select clinic, case_number, file_id, row_number, 'a later row has the same number' as detail
from stage.stays
where standing = 'repeat'
