-- The named place and the coordinates of a record lie more than ten kilometres apart, and further than either is sure of.
-- level: question
-- remedy: Correct the coordinates or the name of the place at the clinic
-- from: stage.stays, standard.stays, standard.places
--
-- Degrees times 111.32 km, narrowed by the cosine of the latitude: exact enough for a question.
with measured as (
    select
        stays.*,
        places.place,
        1000 * 111.32 * sqrt(
            pow(stays.latitude - places.latitude, 2)
            + pow((stays.longitude - places.longitude) * cos(radians(places.latitude)), 2)
        ) as distance_m,
        coalesce(stays.place_uncertainty_m, 0) + coalesce(places.uncertainty_m, 0) as unsure_m
    from standard.stays as stays
    inner join standard.places as places on stays.found_place = places.found_place and places.match = 'exact'
    where stays.place_origin = 'coordinates' and stays.animal_number = 1
)

select measured.clinic, measured.case_number, measured.file_id, rows_stay.row_number,
    cast(measured.distance_m / 1000 as integer) || ' km from ' || measured.place as detail
from measured
inner join stage.stays as rows_stay on measured.record_id = rows_stay.record_id
where measured.distance_m > greatest(10000, 2 * measured.unsure_m)
