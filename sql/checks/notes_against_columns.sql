-- The text says another thing of the tackle than the columns; the columns count, and nothing else of the text fills them.
-- level: question
-- remedy: Correct the column or the text at the clinic
-- from: standard.notes_against_columns, stage.stays
select stays.clinic, stays.case_number, stays.file_id, stays.row_number,
    replace(differing.axis, '_', ' ') || ': ' || differing.codes_stated || ' in the columns, ' || differing.code_said
    || ' in the text ("' || differing.words || '")' as detail
from standard.notes_against_columns as differing
inner join stage.stays as stays on differing.stay_id = stays.stay_id and stays.standing = 'current'
