-- The text says that the stay ended otherwise than the columns; the columns count.
-- level: question
-- remedy: Correct the ending or the text at the clinic
-- from: standard.notes_endings, standard.stated_endings, stage.stays, codes.notes_beside
select stays.clinic, stays.case_number, stays.file_id, stays.row_number,
    stated.outcome_code || ' in the columns, ' || said.outcome_code || ' in the text' as detail
from standard.notes_endings as said
inner join standard.stated_endings as stated on said.record_id = stated.record_id
inner join stage.stays as stays on said.record_id = stays.record_id
left join codes.notes_beside as beside
    on beside.axis = 'outcome' and (
        (beside.code = said.outcome_code and beside.beside = stated.outcome_code)
        or (beside.code = stated.outcome_code and beside.beside = said.outcome_code)
    )
where said.outcome_code <> stated.outcome_code and stated.outcome_code <> 'unmapped' and beside.code is null
