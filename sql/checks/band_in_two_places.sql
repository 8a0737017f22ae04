-- One band or chip is in two stays at the same time, by more than a day.
-- level: question
-- remedy: Check the band and the days of both stays; the number may be misread, or the first stay never closed
-- from: standard.stays
select later.clinic, later.case_number, later.file_id, cast(null as integer) as row_number,
    later.band || ' was also in care elsewhere or under another number from ' || earlier.admission_date as detail
from standard.stays as earlier
inner join standard.stays as later
    on earlier.band = later.band and (earlier.admission_date, earlier.stay_id) < (later.admission_date, later.stay_id)
where earlier.incident_id <> later.incident_id and later.admission_date < earlier.outcome_date - 1
