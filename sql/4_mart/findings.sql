-- One row per case and finding, in order, over all its stays.
-- key:  case_id, finding_order
-- from: mart.stays, standard.findings
with of_case as (
    select
        stays.case_id,
        stays.stay_number,
        first_stays.admission_date as time_zero,
        findings.* exclude (stay_id)
    from mart.stays as stays
    inner join mart.stays as first_stays on stays.case_id = first_stays.stay_id
    inner join standard.findings as findings on stays.incident_id = findings.stay_id
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
    finding_unit
from of_case
