-- One exact point stands for five or more named places: it may be the clinic's own address or a default.
-- level: question
-- remedy: Ask the clinic where its coordinates come from
-- from: stage.stays
select clinic, cast(null as varchar) as case_number, cast(null as integer) as file_id,
    cast(null as integer) as row_number,
    latitude || ', ' || longitude || ' for ' || count(distinct folded(found_place)) || ' places in ' || count(*)
    || ' records' as detail
from stage.stays
where standing = 'current' and found_place is not null and latitude is not null and longitude is not null
group by clinic, latitude, longitude
having count(distinct folded(found_place)) >= 5
