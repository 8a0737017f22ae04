-- A reason for euthanasia stands beside another ending.
-- level: question
-- remedy: Correct the ending, or take out the reason, at the clinic
-- from: stage.stays, standard.endings
select stays.clinic, stays.case_number, stays.file_id, stays.row_number,
    stays.euthanasia_reason || ', yet ' || endings.outcome_code as detail
from stage.stays as stays
inner join standard.endings as endings on stays.record_id = endings.record_id
where endings.euthanasia_reason_code is not null and stays.euthanasia_reason is not null
    and endings.outcome_code not in ('euthanased', 'unmapped', 'transferred_out')
