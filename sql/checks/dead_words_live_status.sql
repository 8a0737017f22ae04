-- The words say that a carcass came in, the status says that it was alive.
-- level: question
-- remedy: Ask the clinic whether the animal was dead on arrival, and have the status corrected
-- from: stage.stays, standard.endings, codes.carcass_words
with words as (
    select '(^|[^a-z])(' || string_agg(pattern, '|' order by pattern) || ')([^a-z]|$)' as pattern
    from codes.carcass_words
)

select stays.clinic, stays.case_number, stays.file_id, stays.row_number, 'the notes speak of a carcass' as detail
from stage.stays as stays
inner join standard.endings as endings on stays.record_id = endings.record_id
cross join words
where endings.outcome_timing_code is distinct from 'before_admission'
    and regexp_matches(folded(stays.notes), words.pattern)
