-- One row per cell of the grid with tackle cases whose place may be published: the map of where they were found.
-- key:  latitude, longitude, step_degrees
-- from: mart.cases, withhold.places
--
-- columns:
--   latitude: middle of the cell, decimal degrees, WGS84
--   longitude: middle of the cell, decimal degrees, WGS84
--   uncertainty_m: radius about the middle that holds the cell, and a rough place beside it, metres; the least of its cases
--   step_degrees: width of the cell, degrees
--   cases: tackle cases found in it, all years, those withheld left out
with shown as (
    select
        places.cell_latitude as latitude, places.cell_longitude as longitude, places.uncertainty_m,
        cast(regexp_extract(places.generalization, 'cell of ([0-9.]+) degrees', 1) as double) as step_degrees
    from withhold.places as places
    inner join mart.cases as cases on places.case_id = cases.case_id
    where cases.is_tackle and places.why_withheld is null
)

select latitude, longitude, min(uncertainty_m) as uncertainty_m, step_degrees, count(*) as cases
from shown
group by latitude, longitude, step_degrees
order by latitude, longitude, step_degrees
