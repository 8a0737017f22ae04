-- One row per procedure that the columns tell of a current stay, in the shared codes.
-- key:  stay_id, procedure_number
-- from: stage.procedures, standard.word_codes, codes.procedure
--
-- A word that the clinic has coded 'ignore', or only on another axis, tells of no procedure.
select
    procedures.stay_id,
    row_number() over (
        partition by procedures.stay_id
        order by
            procedures.procedure_date nulls last, procedures.procedure_order nulls last, procedures.file_id,
            procedures.row_number, procedures.item_number, procedures.block_number
    ) as procedure_number,
    procedures.clinic,
    procedures.procedure_date,
    kind.own as procedure_code,
    coalesce(list.procedure_kind, 'unmapped') as procedure_kind,
    list.treatment_code,
    reason.own as procedure_reason_code,
    anaesthesia.own as anaesthesia_code,
    coalesce(result.own, kind.procedure_result) as procedure_result_code,
    complication.own as complication_code
from stage.procedures as procedures
left join standard.word_codes as kind
    on procedures.clinic = kind.clinic and procedures.procedure = kind.word and kind.field = 'procedure'
left join codes.procedure as list
    on kind.own = list.code
left join standard.word_codes as reason
    on procedures.clinic = reason.clinic and procedures.procedure_reason = reason.word
    and reason.field = 'procedure_reason'
left join standard.word_codes as anaesthesia
    on procedures.clinic = anaesthesia.clinic and procedures.anaesthesia = anaesthesia.word
    and anaesthesia.field = 'anaesthesia'
left join standard.word_codes as result
    on procedures.clinic = result.clinic and procedures.procedure_result = result.word
    and result.field = 'procedure_result'
left join standard.word_codes as complication
    on procedures.clinic = complication.clinic and procedures.complication = complication.word
    and complication.field = 'complication'
where procedures.is_current and procedures.stay_id is not null and kind.own is not null
