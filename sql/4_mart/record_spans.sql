-- One row per clinic: the days that its records span, and so the years in which it can have seen a case.
-- key:  clinic
-- from: mart.cases
select
    clinic,
    min(admission_date) as first_day,
    max(export_date) as last_day,
    (max(export_date) - min(admission_date) + 1) / 365.25 as years
from mart.cases
group by clinic
