-- One row per current stay record: what animal came, in the shared codes.
-- key:  record_id
-- from: stage.stays, standard.word_codes, codes.species
select
    stays.record_id,
    coalesce(species.own, 'unmapped') as species_code,
    coalesce(species_list.taxon_group, 'unmapped') as taxon_group_code,
    sex.own as sex_code,
    coalesce(life_stage.own, species.life_stage) as life_stage_code,
    body_condition.own as body_condition_code,
    triage_score.own as triage_score,
    coalesce(
        stays.mass_g > 0
        and stays.mass_g between cast(species_list.mass_g_low as double) and cast(species_list.mass_g_high as double),
        true
    ) as is_mass_plausible
from stage.stays as stays
left join standard.word_codes as species
    on stays.clinic = species.clinic and stays.species = species.word and species.field = 'species'
left join codes.species as species_list
    on species.own = species_list.code
left join standard.word_codes as sex
    on stays.clinic = sex.clinic and stays.sex = sex.word and sex.field = 'sex'
left join standard.word_codes as life_stage
    on stays.clinic = life_stage.clinic and stays.life_stage = life_stage.word and life_stage.field = 'life_stage'
left join standard.word_codes as body_condition
    on stays.clinic = body_condition.clinic and stays.body_condition = body_condition.word
    and body_condition.field = 'body_condition'
left join standard.word_codes as triage_score
    on stays.clinic = triage_score.clinic and stays.triage_score = triage_score.word
    and triage_score.field = 'triage_score'
where stays.standing = 'current'
