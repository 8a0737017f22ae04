-- One row per clinic, field and word, its codes side by side: the form in which records look them up.
-- key:  clinic, field, word
-- from: standard.coded_words
--
-- own: the code on the field's own axis; then the axes that a word of another field can fill.
with said as (
    select * from standard.coded_words where code <> 'ignore'
)

select
    clinic,
    field,
    word,
    max(code) filter (where axis = field) as own,
    max(code) filter (where axis = 'cause') as cause,
    max(code) filter (where axis = 'injury') as injury,
    max(code) filter (where axis = 'gear') as gear,
    max(code) filter (where axis = 'hook_kind') as hook_kind,
    max(code) filter (where axis = 'body_site') as body_site,
    max(code) filter (where axis = 'line_trailing') as line_trailing,
    max(code) filter (where axis = 'lead') as lead,
    max(code) filter (where axis = 'severity') as severity,
    max(code) filter (where axis = 'life_stage') as life_stage,
    max(code) filter (where axis = 'arrival') as arrival,
    max(code) filter (where axis = 'outcome') as outcome,
    max(code) filter (where axis = 'outcome_timing') as outcome_timing,
    max(code) filter (where axis = 'outcome_status') as outcome_status,
    max(code) filter (where axis = 'euthanasia_reason') as euthanasia_reason,
    max(code) filter (where axis = 'procedure_result') as procedure_result,
    max(code) filter (where axis = 'gear_fate') as gear_fate
from said
group by clinic, field, word
