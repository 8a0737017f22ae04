-- One row per record that tells of a stay, typed, with the reason if it has to be refused.
-- key:  record_id
-- from: layout.stays, clinic.sources, raw.files
--
-- Dates, numbers and units are read in each source's own way; words stay words until 2_standard.
-- A stay without a number cannot be followed, one without a day of admission has no time zero: both are
-- refused and listed, never dropped in silence. A clutch without a number of animals has as many as it has endings.
with joined as (
    select
        cast(stays.file_id as bigint) * 100000000 + stays.row_number as record_id,
        files.export_date,
        sources.date_order,
        sources.decimal_sign,
        sources.timezone,
        stays.* exclude (item_number, block_number)
    from layout.stays as stays
    inner join clinic.sources as sources on stays.clinic = sources.clinic and stays.source = sources.source
    inner join raw.files as files on stays.file_id = files.file_id
),

typed as (
    select
        * exclude (date_order, decimal_sign, timezone, mass, mass_unit) replace (
            as_day(found_date, date_order, timezone) as found_date,
            as_day(admission_date, date_order, timezone) as admission_date,
            as_day(outcome_date, date_order, timezone) as outcome_date,
            as_day(seen_again_date, date_order, timezone) as seen_again_date,
            as_number(latitude, decimal_sign) as latitude,
            as_number(longitude, decimal_sign) as longitude,
            nullif(as_number(place_uncertainty_m, decimal_sign), 0) as place_uncertainty_m,
            coalesce(
                nullif(as_count(animal_count, decimal_sign), 0),
                case when animal_count is null then nullif(
                    coalesce(as_count(animals_released, decimal_sign), 0)
                    + coalesce(as_count(animals_died, decimal_sign), 0)
                    + coalesce(as_count(animals_euthanased, decimal_sign), 0), 0
                ) end
            ) as animal_count,
            as_count(animals_released, decimal_sign) as animals_released,
            as_count(animals_died, decimal_sign) as animals_died,
            as_count(animals_euthanased, decimal_sign) as animals_euthanased
        ),
        as_grams(mass, decimal_sign, mass_unit) as mass_g,
        admission_date as admission_text,
        outcome_date as outcome_text,
        found_date as found_text,
        mass as mass_text,
        latitude as latitude_text,
        longitude as longitude_text,
        [animal_count, animals_released, animals_died, animals_euthanased] as count_texts
    from joined
)

select
    *,
    case
        when case_number is null then 'no case number'
        when admission_text is null then 'no admission date'
        when admission_date is null then 'admission date unreadable'
    end as refusal_reason
from typed
