-- One row per finding that the columns tell of a current stay, in the shared codes.
-- key:  stay_id, finding_number
-- from: stage.findings, standard.word_codes
--
-- A word that the clinic has coded 'ignore' tells of no finding; a value without a name is kept as 'unmapped'.
select
    findings.stay_id,
    row_number() over (
        partition by findings.stay_id
        order by
            findings.finding_date nulls last, findings.file_id, findings.row_number, findings.item_number,
            findings.block_number
    ) as finding_number,
    findings.clinic,
    findings.finding_date,
    coalesce(kind.own, 'unmapped') as finding_code,
    findings.finding_value,
    findings.finding_unit
from stage.findings as findings
left join standard.word_codes as kind
    on findings.clinic = kind.clinic and findings.finding = kind.word and kind.field = 'finding'
where findings.is_current and findings.stay_id is not null and (kind.own is not null or findings.finding is null)
