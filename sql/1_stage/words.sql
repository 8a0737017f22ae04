-- One row per clinic, field and word that stands in an export: all that 2_standard has to translate.
-- key:  clinic, field, word
-- from: stage.stays, stage.gear_items, stage.procedures, stage.findings
--
-- Words of superseded records count too: a steward sees every word that was ever typed.
with stay_words as (
    unpivot (
        select
            clinic, species, sex, life_stage, body_condition, triage_score, cause, injury, gear, hook_kind, barb,
            body_site, line_trailing, lead, severity, injury_age, arrival, outcome, outcome_timing,
            outcome_status, euthanasia_reason, gear_fate, gear_at_release, other_clinic, transferred_to
        from stage.stays
    )
    on columns(* exclude (clinic))
    into name field value word
),

gear_words as (
    unpivot (
        select clinic, gear, injury, hook_kind, barb, body_site, line_trailing, lead, gear_fate from stage.gear_items
    )
    on columns(* exclude (clinic))
    into name field value word
),

procedure_words as (
    unpivot (
        select clinic, procedure, procedure_reason, anaesthesia, procedure_result, complication from stage.procedures
    )
    on columns(* exclude (clinic))
    into name field value word
),

finding_words as (
    select clinic, 'finding' as field, finding as word from stage.findings where finding is not null
)

select clinic, field, word, count(*) as times
from (
    select * from stay_words
    union all by name select * from gear_words
    union all by name select * from procedure_words
    union all by name select * from finding_words
)
group by clinic, field, word
