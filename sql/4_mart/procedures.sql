-- One row per case and procedure, in order, over all its stays.
-- key:  case_id, procedure_order
-- from: mart.stays, standard.procedures
with of_case as (
    select
        stays.case_id,
        stays.stay_number,
        first_stays.admission_date as time_zero,
        procedures.* exclude (stay_id)
    from mart.stays as stays
    inner join mart.stays as first_stays on stays.case_id = first_stays.stay_id
    inner join standard.procedures as procedures on stays.incident_id = procedures.stay_id
)

select
    case_id,
    row_number() over (
        partition by case_id order by procedure_date nulls last, stay_number, procedure_number
    ) as procedure_order,
    clinic,
    procedure_date,
    date_diff('day', time_zero, procedure_date) as procedure_days,
    procedure_code,
    procedure_kind,
    treatment_code,
    procedure_reason_code,
    anaesthesia_code,
    procedure_result_code,
    complication_code
from of_case
