-- A mass, coordinate, count or measured value cannot be read as one number, so it is withheld.
-- level: withheld
-- remedy: Correct the cell at the clinic, or decimal (the clinic's sign) or missing in clinic.toml
-- from: stage.stays, stage.findings
with said as (
    select
        clinic, case_number, file_id, row_number,
        unnest([
            case when mass_g is null then 'mass ' || mass_text end,
            case when latitude is null then 'latitude ' || latitude_text end,
            case when longitude is null then 'longitude ' || longitude_text end,
            case when animal_count is null then 'animals ' || count_texts[1] end,
            case when animals_released is null then 'animals released ' || count_texts[2] end,
            case when animals_died is null then 'animals died ' || count_texts[3] end,
            case when animals_euthanased is null then 'animals euthanased ' || count_texts[4] end
        ]) as detail
    from stage.stays
    where standing = 'current'
    union all
    select clinic, case_number, file_id, row_number, 'measured ' || finding_value_text
    from stage.findings
    where is_current and finding_value is null
)

select *
from said
where detail is not null
