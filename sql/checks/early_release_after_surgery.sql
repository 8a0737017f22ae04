-- A freshwater turtle was released less than six weeks after a coeliotomy (common practice, no source).
-- level: question
-- remedy: Ask the clinic whether the day of surgery or of release is right, or how the wound was closed
-- from: mart.procedures, mart.cases, mart.stays, codes.species
select stays.clinic, stays.case_number, stays.file_id, cast(null as integer) as row_number,
    'released ' || (cases.stay_days - procedures.procedure_days) || ' days after the operation' as detail
from mart.procedures as procedures
inner join mart.cases as cases on procedures.case_id = cases.case_id
inner join mart.stays as stays on cases.case_id = stays.case_id and stays.is_last
inner join codes.species as species on cases.species_code = species.code
where procedures.procedure_code = 'surgery_coeliotomy' and species.is_freshwater_turtle = 'yes'
    and cases.outcome_class = 'released' and cases.stay_days - procedures.procedure_days < 42
