-- A day is one that programs write where they have none, or lies before 1950.
-- level: question
-- remedy: Ask the clinic for the real day, or name that day under missing in clinic.toml
-- from: stage.stays
with days as (
    select clinic, case_number, file_id, row_number, unnest([
        struct_pack(what := 'found', day := found_date), struct_pack(what := 'admitted', day := admission_date),
        struct_pack(what := 'ended', day := outcome_date)
    ], recursive := true)
    from stage.stays
    where standing = 'current'
)

select clinic, case_number, file_id, row_number, what || ' ' || day as detail
from days
where day < date '1950-01-01' or day = date '1970-01-01'
