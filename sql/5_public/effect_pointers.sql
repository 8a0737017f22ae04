-- Which planned comparison answers what a row of outcomes_by_treatment cannot: whether the treatment works.
-- key:  injury_code, taxon_group_code, body_site_code, treatment_code, question
-- from: result.outcomes_by_treatment, result.effect_questions
--
-- A row points to a comparison that is about its injury and treatment, and about its animals and body site where the
-- row names them.
--
-- columns:
--   injury_code: how the tackle injured
--   taxon_group_code: the animals, or all
--   body_site_code: where in the body, or all
--   treatment_code: the treatment reached
--   question: name of the planned comparison
--   asks: the question in words
select
    treated.injury_code,
    treated.taxon_group_code,
    treated.body_site_code,
    treated.treatment_code,
    questions.question,
    questions.asks
from result.outcomes_by_treatment as treated
inner join result.effect_questions as questions
    on (questions.injury_codes = '' or list_contains(string_split(questions.injury_codes, '|'), treated.injury_code))
    and list_contains(string_split(questions.treatment_codes, '|'), treated.treatment_code)
    and (
        treated.taxon_group_code = 'all' or questions.taxon_group_codes = ''
        or list_contains(string_split(questions.taxon_group_codes, '|'), treated.taxon_group_code)
    )
    and (
        treated.body_site_code = 'all' or questions.body_site_codes = ''
        or list_contains(string_split(questions.body_site_codes, '|'), treated.body_site_code)
    )
order by all
