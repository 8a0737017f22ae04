-- An animal was transferred, and nothing says where to.
-- level: question
-- remedy: Fill in who received the animal, so that its case can be followed
-- from: stage.stays, standard.endings
select stays.clinic, stays.case_number, stays.file_id, stays.row_number,
    concat_ws(' ', 'transferred', stays.outcome_date) as detail
from stage.stays as stays
inner join standard.endings as endings on stays.record_id = endings.record_id
where endings.outcome_code = 'transferred_out' and stays.transferred_to is null
