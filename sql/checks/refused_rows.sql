-- A stay record was refused: it has no case number, or no readable day of admission.
-- level: refused
-- remedy: Fill in the case number or the day of admission at the clinic, or correct date_order in clinic.toml
-- from: stage.stay_rows
select clinic, case_number, file_id, row_number, concat_ws(': ', refusal_reason, admission_text) as detail
from stage.stay_rows
where refusal_reason is not null
