-- A procedure, finding or piece of gear names a case number that no stay has.
-- level: question
-- remedy: Ask the clinic for the patient row, or correct the number
-- from: stage.procedures, stage.findings, stage.gear_items
select clinic, case_number, file_id, row_number, 'procedure' as detail from stage.procedures where stay_id is null
union all
select clinic, case_number, file_id, row_number, 'finding' from stage.findings where stay_id is null
union all
select clinic, case_number, file_id, row_number, 'gear item' from stage.gear_items where stay_id is null
