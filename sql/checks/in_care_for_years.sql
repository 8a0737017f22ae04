-- An animal is said to be in care still, more than two years after its admission (common practice, no source).
-- level: question
-- remedy: Ask the clinic how the stay ended, or whether the animal is kept for good
-- from: stage.stays, standard.endings
select stays.clinic, stays.case_number, stays.file_id, stays.row_number,
    'admitted ' || stays.admission_date || ', in care on ' || stays.export_date as detail
from stage.stays as stays
inner join standard.endings as endings on stays.record_id = endings.record_id
where endings.outcome_status_code = 'in_care' and stays.export_date > stays.admission_date + 730
