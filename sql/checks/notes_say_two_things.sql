-- The text says two things of one animal's tackle or ending, or says and denies one; nothing is filled from it.
-- level: question
-- remedy: Fill in the column at the clinic, so that the text need not be understood
-- from: standard.notes_said, stage.stays
select stays.clinic, stays.case_number, stays.file_id, stays.row_number,
    replace(said.axis, '_', ' ') || ': ' || array_to_string(said.codes_said, ' and ')
    || if(said.is_also_denied, ', said and denied', '') || ' ("' || said.words || '")' as detail
from standard.notes_said as said
inner join stage.stays as stays on said.stay_id = stays.stay_id and stays.standing = 'current'
where said.code is null
