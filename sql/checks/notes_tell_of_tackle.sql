-- The text tells of tackle that injured the animal, the columns give another cause; it is no tackle case.
-- level: question
-- remedy: If fishing tackle injured it, have the cause or the gear filled in at the clinic
-- from: standard.notes_gear, standard.stated_gear_items, standard.injuries, stage.stays
select stays.clinic, stays.case_number, stays.file_id, stays.row_number,
    concat_ws(', ', 'cause ' || coalesce(injuries.cause_code, 'not stated'), said.gear_code || ' in the text',
        said.injury_code, said.body_site_code) as detail
from standard.notes_gear as said
anti join standard.stated_gear_items as items on said.stay_id = items.stay_id
inner join stage.stays as stays on said.stay_id = stays.stay_id and stays.standing = 'current'
inner join standard.injuries as injuries on stays.record_id = injuries.record_id
where said.is_plain_tackle and not said.may_make_a_piece
