-- One case number of one file stands for two animals: another species, or another day of admission.
-- level: question
-- remedy: Give the animals numbers of their own at the clinic, or join the year to the number in clinic.toml
-- from: stage.stays
select clinic, case_number, file_id, row_number, concat_ws(', ', species, admission_date) as detail
from stage.stays
where animal_in_number > 1 and standing = 'current'
