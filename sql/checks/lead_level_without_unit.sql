-- A lead level has no unit, or cannot be one: it is not above zero.
-- level: question
-- remedy: Have the unit (such as ug/dL) filled in at the clinic, or state it as a constant in clinic.toml
-- from: stage.findings, standard.word_codes
select findings.clinic, findings.case_number, findings.file_id, findings.row_number,
    concat_ws(' ', findings.finding_value_text, findings.finding_unit) as detail
from stage.findings as findings
inner join standard.word_codes as words
    on findings.clinic = words.clinic and findings.finding = words.word and words.field = 'finding'
where findings.is_current and words.own = 'lead_level'
    and findings.finding_value is not null and (findings.finding_unit is null or findings.finding_value <= 0)
