-- One row per incident: one event, however many animals, at one place on one day.
-- key:  incident_id
-- from: mart.cases, mart.case_places, codes.species
--
-- A clutch is one record and so one incident. Animals that one clinic took from a net at one point on one day are
-- one incident too: thirty birds in a net say once, not thirty times, that nets are left there.
-- is_compared: its group of animals is one that tackle injures, so that other rescues of the group measure how many
-- people look and report there. Garden birds would make every shore look hot.
with events as (
    select
        case
            when cases.is_tackle and cases.gear_code = 'net' and cases.latitude is not null then concat_ws(
                '|', 'net', cases.clinic, coalesce(cases.found_date, cases.admission_date), cases.latitude,
                cases.longitude
            )
            else cases.incident_id
        end as event,
        cases.*,
        case_places.* exclude (case_id, latitude, longitude, place_uncertainty_m),
        coalesce(species.sensitivity, '') as sensitivity
    from mart.cases as cases
    inner join mart.case_places as case_places on cases.case_id = case_places.case_id
    left join codes.species as species on cases.species_code = species.code
),

incidents as (
    select
        min(case_id) as incident_id,
        arg_min(clinic, case_id) as clinic,
        arg_min(coalesce(found_date, admission_date), case_id) as incident_date,
        arg_min(admission_year, case_id) as admission_year,
        bool_or(is_tackle) as is_tackle,
        count(*) as animals,
        arg_min(coalesce(taxon_group_code, 'not_stated'), case_id) as taxon_group_code,
        arg_min(coalesce(injury_code, 'not_stated'), case_id) as injury_code,
        min(nullif(sensitivity, '')) as sensitivity,
        arg_min(place_standing, case_id) as place_standing,
        arg_min(council, case_id) as council,
        arg_min(site_id, case_id) as site_id,
        arg_min(latitude, case_id) as latitude,
        arg_min(longitude, case_id) as longitude,
        arg_min(place_uncertainty_m, case_id) as place_uncertainty_m
    from events
    group by event
),

compared as (
    select taxon_group_code
    from incidents
    group by taxon_group_code
    having count(*) filter (where is_tackle) >= greatest($least_tackle, $least_share * count(*))
)

select incidents.*, compared.taxon_group_code is not null as is_compared
from incidents
left join compared on incidents.taxon_group_code = compared.taxon_group_code
