-- The words say that a carcass came in, the status says that it was alive.
-- level: question
-- remedy: Ask the clinic whether the animal was dead on arrival, and have the status corrected
-- from: stage.stays, standard.stated_endings, codes.carcass_words
with told as (
    select
        stays.clinic, stays.case_number, stays.file_id, stays.row_number,
        ' ' || regexp_replace(folded(stays.notes), '[^a-z]+', ' ', 'g') || ' ' as words_of_notes
    from stage.stays as stays
    inner join standard.stated_endings as stated on stays.record_id = stated.record_id
    where stays.notes is not null
        and stated.stated_timing_code is distinct from 'before_admission' and stated.arrival_code is distinct from 'dead'
)

select clinic, case_number, file_id, row_number, 'the notes speak of a carcass' as detail
from told
where exists (
    select 1 from codes.carcass_words as carcass where contains(told.words_of_notes, ' ' || carcass.word || ' ')
)
