-- An animal that is said to have come in dead was treated. Pictures of a carcass are taken, treatments are not given.
-- level: question
-- remedy: Correct the arrival or the procedure at the clinic
-- from: standard.endings, standard.procedures, stage.stays
select stays.clinic, stays.case_number, stays.file_id, stays.row_number,
    string_agg(distinct procedures.procedure_code, ', ' order by procedures.procedure_code) as detail
from stage.stays as stays
inner join standard.endings as endings on stays.record_id = endings.record_id
inner join standard.procedures as procedures on stays.stay_id = procedures.stay_id
where endings.outcome_timing_code = 'before_admission'
    and procedures.procedure_kind in ('retrieval', 'line_removal', 'surgery', 'medicine', 'support', 'watch')
group by all
