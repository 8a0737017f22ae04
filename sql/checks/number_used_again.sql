-- A newer export gives the number to what looks like another animal, and the older record no longer counts.
-- level: question
-- remedy: If the numbers start anew each year, say so in clinic.toml: case_number = { column = "...", year_of = "..." }
-- from: stage.stays
select older.clinic, older.case_number, older.file_id, older.row_number,
    concat_ws(', ', older.species, older.admission_date, 'now ' || newer.species, newer.admission_date) as detail
from stage.stays as older
inner join stage.stays as newer
    on older.clinic = newer.clinic and older.case_number = newer.case_number
    and older.animal_in_number = newer.animal_in_number and newer.standing = 'current'
where older.standing = 'superseded'
    and (
        abs(date_diff('day', older.admission_date, newer.admission_date)) > 30
        or (
            older.admission_date <> newer.admission_date
            and folded(older.species) is distinct from folded(newer.species)
        )
    )
