-- A record of several animals tells of more endings than animals.
-- level: question
-- remedy: Correct the number of animals or of endings at the clinic; the last endings are left out until then
-- from: stage.stays
select clinic, case_number, file_id, row_number,
    concat_ws(
        ', ', coalesce(animal_count, 1) || ' animals', animals_released || ' released', animals_died || ' died',
        animals_euthanased || ' euthanased'
    ) as detail
from stage.stays
where standing = 'current'
    and coalesce(animals_released, 0) + coalesce(animals_died, 0) + coalesce(animals_euthanased, 0)
    > coalesce(animal_count, 1)
