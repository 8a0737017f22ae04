-- An animal that is said to have come in dead ended otherwise than in death.
-- level: question
-- remedy: Correct the arrival or the ending at the clinic
-- from: stage.stays, standard.endings, codes.outcome
select stays.clinic, stays.case_number, stays.file_id, stays.row_number,
    'dead on arrival, ' || endings.outcome_code as detail
from stage.stays as stays
inner join standard.endings as endings on stays.record_id = endings.record_id
inner join codes.outcome as outcome on endings.outcome_code = outcome.code
where endings.outcome_timing_code = 'before_admission'
    and outcome.outcome_class in ('released', 'captive', 'transferred')
