-- One row per case and procedure, in order, over all its stays.
-- key:  case_id, procedure_order
-- from: mart.stays, link.case_starts, standard.procedures
--
-- What a second entry of a stay repeats counts once. Days run from the case's time zero.
with of_case as (
    select
        stays.case_id,
        stays.stay_number,
        starts.time_zero,
        procedures.* exclude (stay_id)
    from mart.stays as stays
    inner join link.case_starts as starts on stays.case_id = starts.case_id
    inner join standard.procedures as procedures on stays.incident_id = procedures.stay_id
    qualify stays.stay_number is not null
        or count(stays.stay_number) over (
            partition by stays.case_id, procedures.procedure_date, procedures.procedure_code
        ) = 0
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
    complication_code,
    len(axes_from_notes) > 0 as from_notes,
    axes_from_notes
from of_case
