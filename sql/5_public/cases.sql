-- One row per case: what came, with what injury, how it ended; no person, no clinic's number, no exact place.
-- key:  case_id
-- from: mart.cases, withhold.decisions, withhold.places, withhold.case_details, clinic.letters
--
-- What is withheld in the tables is withheld here too, and a place is given as the middle of a cell of the grid.
-- columns:
--   case_id: pseudonym of the case, the same in every year's release
--   animal_id: pseudonym of the animal; two cases of one animal share it
--   clinic: letter of the first clinic; empty where the network is too small for letters
--   admission_year: year of the first admission, as the network counts years; empty where it is withheld
--   admission_quarter: quarter of the calendar year of the first admission, 1 to 4; empty where it would tell the day
--   species_code: kind of animal; withheld where it would point to one clinic
--   taxon_group_code: group of animals
--   sex_code: sex as judged at the clinic
--   life_stage_code: age class at admission
--   is_tackle: whether fishing tackle injured it
--   cause_code: why the animal came into care
--   injury_code: how the tackle injures
--   gear_code: what gear it is
--   hook_kind_code: shape of the hook
--   body_site_code: where in or on the body
--   line_trailing_code: whether line trails
--   lead_code: whether lead is involved
--   severity_code: how grave the injury is at admission; empty where nobody stated it
--   is_alive_on_arrival: false for dead on arrival
--   outcome_code: how the case ended
--   outcome_class: class of the ending, or pending, transferred, unknown
--   outcome_timing_code: when in the case it ended
--   stay_days: whole days from admission to ending or last sight; of a pending case a lower bound, no time under care
--   entry_days: whole days after the first admission from which the case was under observation
--   gear_at_release_code: whether gear was still in it at release
--   stay_count: stays that make the case, cut at the highest number that clinics enough reach
--   gear_item_count: pieces of tackle, cut likewise; empty where none would tell a withheld code
--   latitude: middle of the grid cell of the place of finding, decimal degrees, WGS84
--   longitude: middle of the grid cell of the place of finding, decimal degrees, WGS84
--   coordinate_uncertainty_m: radius around that middle that holds the place, rounded up to heights of a cell, metres
--   data_generalizations: what was made coarser
--   information_withheld: what exists and is not shared
with named as (
    select
        cases.* exclude (stay_days, stay_count, gear_item_count), places.* exclude (case_id), details.* exclude (case_id),
        case when letters.is_public then letters.letter end as letter,
        (select list(cell) from withhold.decisions where cell not like '%=%|%' and cell not like '%|%|%') as hidden,
        if(cases.is_tackle, '', 'other|') as those
    from mart.cases as cases
    left join withhold.places as places on cases.case_id = places.case_id
    inner join withhold.case_details as details on cases.case_id = details.case_id
    left join clinic.letters as letters on cases.clinic = letters.clinic
),

masked as (
    select * replace (
        if(list_contains(hidden, those || 'admission_year=' || admission_year), null, admission_year) as admission_year,
        masked(hidden, those || 'species', species_code, true) as species_code,
        masked(hidden, those || 'taxon_group', taxon_group_code, true) as taxon_group_code,
        masked(hidden, 'cause', cause_code, true) as cause_code,
        masked(hidden, 'life_stage', life_stage_code, is_tackle) as life_stage_code,
        masked(hidden, 'injury', injury_code, is_tackle) as injury_code,
        masked(hidden, 'gear', gear_code, is_tackle) as gear_code,
        masked(hidden, 'gear_item|hook_kind', hook_kind_code, is_tackle) as hook_kind_code,
        masked(hidden, 'body_site', body_site_code, is_tackle) as body_site_code,
        masked(hidden, 'severity', severity_code, is_tackle) as severity_code
    )
    from named
)

select
    pseudonym(case_id, $pseudonym_key) as case_id, pseudonym(animal_id, $pseudonym_key) as animal_id, letter as clinic,
    admission_year, if(admission_year is not null, admission_quarter, null) as admission_quarter,
    case when taxon_group_code = 'withheld' then 'withheld' else species_code end as species_code,
    taxon_group_code, sex_code, life_stage_code, is_tackle, cause_code, injury_code, gear_code, hook_kind_code,
    body_site_code, line_trailing_code, lead_code, severity_code, is_alive_on_arrival, outcome_code, outcome_class,
    outcome_timing_code, stay_days, entry_days, gear_at_release_code, stay_count, if('withheld' in (
        injury_code, gear_code, hook_kind_code, body_site_code, severity_code
    ), null, gear_item_count) as gear_item_count, cell_latitude as latitude, cell_longitude as longitude,
    uncertainty_m as coordinate_uncertainty_m, generalization as data_generalizations,
    concat_ws('; ', 'day of admission', 'clinic and its case number', no_quarter, why_withheld) as information_withheld
from masked
order by pseudonym(masked.case_id, $pseudonym_key)
