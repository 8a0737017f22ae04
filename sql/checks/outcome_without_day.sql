-- A stay has an ending but no day on which it ended: it counts in rates and in nothing that takes time.
-- level: question
-- remedy: Fill in the day of the ending at the clinic
-- from: stage.stays, standard.endings
select stays.clinic, stays.case_number, stays.file_id, stays.row_number, endings.outcome_code as detail
from stage.stays as stays
inner join standard.endings as endings on stays.record_id = endings.record_id
where endings.outcome_status_code = 'final' and stays.outcome_date is null
    and endings.outcome_timing_code is distinct from 'before_admission'
