-- A place is known by name only, and the gazetteer has no name that clearly means it.
-- level: question
-- remedy: Add the name to places/gazetteer.csv with its point (a second name of a place is a second row), or have it mended
-- from: standard.stays, standard.places, clinic.gazetteer
select
    stays.clinic,
    cast(null as varchar) as case_number,
    cast(null as integer) as file_id,
    cast(null as integer) as row_number,
    stays.found_place || ' (' || count(distinct stays.incident_id) || ' records)'
    || coalesce('; perhaps ' || min(places.place) || '?', '') as detail
from standard.stays as stays
left join standard.places as places on stays.found_place = places.found_place
where stays.found_place is not null and stays.place_origin is null
    and exists (select 1 from clinic.gazetteer)
group by stays.clinic, stays.found_place
