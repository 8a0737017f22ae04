-- The stay is said to go on, yet the record has an ending or its day.
-- level: question
-- remedy: Correct the status, or take out the ending, at the clinic
-- from: stage.stays, standard.endings
select stays.clinic, stays.case_number, stays.file_id, stays.row_number,
    concat_ws(', ', 'still in care', endings.outcome_code, 'ended ' || stays.outcome_date) as detail
from stage.stays as stays
inner join standard.endings as endings on stays.record_id = endings.record_id
where endings.outcome_status_code = 'in_care'
    and (stays.outcome_date is not null or endings.outcome_code <> 'unmapped')
