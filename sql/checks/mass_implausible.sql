-- A mass is nothing, or cannot be right for the species; the unit may be another one.
-- level: withheld
-- remedy: Check kg and g at the clinic, or the unit of the column in clinic.toml
-- from: stage.stays, standard.animals, codes.species
select stays.clinic, stays.case_number, stays.file_id, stays.row_number,
    stays.mass_text || ' read as ' || cast(stays.mass_g as bigint) || ' g' || coalesce(
        '; ' || species.label || ' weighs ' || species.mass_g_low || ' to ' || species.mass_g_high || ' g', ''
    ) || case
        when stays.mass_g * 1000 between cast(species.mass_g_low as double) and cast(species.mass_g_high as double)
            then '; as kilograms it would fit'
        when stays.mass_g / 1000 between cast(species.mass_g_low as double) and cast(species.mass_g_high as double)
            then '; as grams it would fit'
        else ''
    end as detail
from stage.stays as stays
inner join standard.animals as animals on stays.record_id = animals.record_id
left join codes.species as species on animals.species_code = species.code
where not animals.is_mass_plausible
