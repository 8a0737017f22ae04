-- One row per clinic and year of admission: how much of what could be filled in is filled in, all fields together.
-- key:  clinic, admission_year
-- from: mart.completeness
select
    clinic,
    admission_year,
    cast(sum(filled) as bigint) as filled,
    cast(sum(cases) as bigint) as fields,
    round(100.0 * sum(filled) / sum(cases), 1) as percent
from mart.completeness
group by clinic, admission_year
having sum(cases) > 0
