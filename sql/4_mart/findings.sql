-- One row per case and finding, in order, over all its stays.
-- key:  case_id, finding_order
-- from: mart.stays, link.case_starts, standard.findings
--
-- What a second entry of a stay repeats counts once. Days run from the case's time zero.
with of_case as (
    select
        stays.case_id,
        stays.stay_number,
        starts.time_zero,
        findings.* exclude (stay_id)
    from mart.stays as stays
    inner join link.case_starts as starts on stays.case_id = starts.case_id
    inner join standard.findings as findings on stays.incident_id = findings.stay_id
    qualify stays.stay_number is not null
        or count(stays.stay_number) over (
            partition by stays.case_id, findings.finding_date, findings.finding_code
        ) = 0
)

select
    case_id,
    row_number() over (
        partition by case_id order by finding_date nulls last, stay_number, finding_number
    ) as finding_order,
    clinic,
    finding_date,
    date_diff('day', time_zero, finding_date) as finding_days,
    finding_code,
    finding_value,
    finding_unit,
    from_notes
from of_case
