-- How complete the records are: of the cases of a clinic and year that could state a field, the share that does.
-- key:  field, clinic_letter, year
-- from: mart.completeness, clinic.letters
--
-- Shares only, no numbers of cases: a clinic's volume would give it away.
--
-- columns:
--   field: field of the record
--   clinic_letter: letter of the clinic that admitted the case first
--   year: year of admission, as the network counts years
--   percent: share of cases that state the field, percent, to the nearest 5
select
    completeness.field,
    letters.letter as clinic_letter,
    completeness.admission_year as year,
    cast(round(100.0 * completeness.filled / completeness.cases / 5) * 5 as integer) as percent
from mart.completeness as completeness
inner join clinic.letters as letters on completeness.clinic = letters.clinic
where completeness.cases >= $minimum_for_percentage
order by completeness.field, letters.letter, completeness.admission_year
