-- A place is impossible, at 0,0, or outside the network's region (latitude and longitude may be swapped).
-- level: withheld
-- remedy: Correct the coordinates at the clinic
-- from: stage.stays
select clinic, case_number, file_id, row_number,
    case
        when longitude between $south and $north and latitude between $west and $east
            then 'latitude and longitude swapped?'
        when abs(latitude) > 90 or abs(longitude) > 180 then 'impossible'
        when latitude = 0 and longitude = 0 then 'at 0, 0'
        else 'outside the region'
    end as detail
from stage.stays
where standing = 'current' and latitude is not null and longitude is not null
    and not (latitude between $south and $north and longitude between $west and $east
        and not (latitude = 0 and longitude = 0))
