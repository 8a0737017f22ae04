-- An animal was seen again before its stay ended, or after it had died.
-- level: question
-- remedy: Check the day of the sighting and the ending at the clinic, or the band that was read
-- from: stage.stays, standard.endings, codes.outcome
select stays.clinic, stays.case_number, stays.file_id, stays.row_number,
    concat_ws(', ', endings.outcome_code || ' ' || stays.outcome_date, 'seen again ' || stays.seen_again_date) as detail
from stage.stays as stays
inner join standard.endings as endings on stays.record_id = endings.record_id
left join codes.outcome as outcome on endings.outcome_code = outcome.code
where stays.seen_again_date is not null
    and (stays.seen_again_date < stays.outcome_date or outcome.outcome_class in ('died', 'euthanased'))
