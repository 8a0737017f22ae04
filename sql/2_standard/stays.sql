-- One row per animal and stay, in the shared codes. A clutch is as many rows as it has animals.
-- key:  stay_id
-- from: stage.stays, standard.animals, standard.injuries, standard.endings, standard.places
--
-- A clutch with counts of endings gives them to its animals in turn: which sibling is which does not matter.
-- One clutch is one incident, so that a nest taken in counts once where incidents are counted.
-- A place or a mass that cannot be right is withheld here; checks/ asks the clinic about it. Without coordinates the
-- gazetteer's point of the named place is taken, if one is clearly meant.
with animals_of_record as (
    select
        stays.*,
        unnest(range(1, greatest(coalesce(stays.animal_count, 1), 1) + 1)) as animal_number
    from stage.stays as stays
    where stays.standing = 'current'
),

numbered as (
    select
        *,
        coalesce(
            latitude between $south and $north and longitude between $west and $east
                and not (latitude = 0 and longitude = 0), false
        ) as has_place,
        coalesce(animals_released, 0) as first_died,
        coalesce(animals_released, 0) + coalesce(animals_died, 0) as first_euthanased,
        coalesce(animals_released, 0) + coalesce(animals_died, 0) + coalesce(animals_euthanased, 0) as all_told
    from animals_of_record
)

select
    numbered.stay_id || case when coalesce(numbered.animal_count, 1) > 1 then '/' || numbered.animal_number else '' end
        as stay_id,
    numbered.stay_id as incident_id,
    numbered.clinic,
    numbered.case_number,
    numbered.record_id,
    numbered.animal_number,
    numbered.file_id,
    numbered.export_date,
    case when numbered.animal_count > 1 then null else band_number(numbered.band) end as band,
    letters_and_digits(numbered.other_clinic_number) as other_clinic_number,
    letters_and_digits(numbered.case_number) as own_number,
    numbered.found_date,
    numbered.admission_date,
    numbered.found_place,
    if(numbered.has_place, numbered.latitude, places.latitude) as latitude,
    if(numbered.has_place, numbered.longitude, places.longitude) as longitude,
    if(numbered.has_place, numbered.place_uncertainty_m, places.uncertainty_m) as place_uncertainty_m,
    case when numbered.has_place then 'coordinates' when places.match is not null then 'gazetteer' end as place_origin,
    numbered.release_place,
    case when animals.is_mass_plausible then numbered.mass_g end as mass_g,
    numbered.notes,
    numbered.seen_again_date,
    animals.* exclude (record_id, is_mass_plausible),
    injuries.* exclude (record_id),
    endings.* exclude (record_id) replace (
        case
            when numbered.animal_number <= numbered.first_died then 'released'
            when numbered.animal_number <= numbered.first_euthanased then 'died'
            when numbered.animal_number <= numbered.all_told then 'euthanased'
            else endings.outcome_code
        end as outcome_code,
        case when numbered.animal_number <= numbered.all_told then 'final' else endings.outcome_status_code end
            as outcome_status_code
    )
from numbered
left join standard.places as places
    on numbered.found_place = places.found_place and places.match is not null
inner join standard.animals as animals on numbered.record_id = animals.record_id
inner join standard.injuries as injuries on numbered.record_id = injuries.record_id
inner join standard.endings as endings on numbered.record_id = endings.record_id
