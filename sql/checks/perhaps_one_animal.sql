-- Two numbers of one clinic agree in day, species, mass and place: one animal may have been entered twice.
-- level: question
-- remedy: Ask the clinic whether it is one animal; if so, have one of the two deleted
-- from: standard.stays
with alike as (
    select
        clinic, case_number, file_id, animal_number,
        count(distinct case_number) over same as number_count,
        min(case_number) over same as first_number
    from standard.stays
    where mass_g is not null and found_place is not null and species_code <> 'unmapped'
    window same as (partition by clinic, admission_date, species_code, mass_g, folded(found_place))
)

select clinic, case_number, file_id, cast(null as integer) as row_number, 'like ' || first_number as detail
from alike
where number_count > 1 and case_number <> first_number and animal_number = 1
