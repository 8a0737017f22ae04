-- Coordinates are whole degrees, a hundred kilometres wide, without saying how uncertain they are.
-- level: question
-- remedy: Have the coordinates completed, or the uncertainty filled in, at the clinic
-- from: stage.stays
select clinic, case_number, file_id, row_number, latitude || ', ' || longitude as detail
from stage.stays
where standing = 'current' and latitude = round(latitude) and longitude = round(longitude)
    and not (latitude = 0 and longitude = 0) and coalesce(place_uncertainty_m, 0) < 50000
