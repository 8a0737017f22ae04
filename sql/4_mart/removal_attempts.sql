-- One row per live tackle case and attempt at removal, in order: what was tried, how it went, what came next.
-- key:  case_id, attempt_number
-- from: mart.procedures, mart.cases, codes.procedure
--
-- is_order_known: an attempt without a day may have been the first, if there are others.
-- is_removal: the first success of the case. next_step: the treatment of the next attempt, or how the case ended.
-- clinic: where it was done; case_clinic: where the case was admitted first.
with attempts as (
    select
        procedures.*,
        cases.clinic as case_clinic,
        cases.outcome_class,
        row_number() over (partition by procedures.case_id order by procedures.procedure_order) as attempt_number,
        count(*) over (partition by procedures.case_id) as attempt_count,
        count_if(procedures.procedure_days is null) over (partition by procedures.case_id) as undated_count
    from mart.procedures as procedures
    inner join mart.cases as cases on procedures.case_id = cases.case_id
    inner join codes.procedure as list on procedures.procedure_code = list.code
    where list.is_attempt_at_removal = 'yes' and cases.is_tackle and cases.is_alive_on_arrival
)

select
    case_id,
    attempt_number,
    attempt_count = 1 or undated_count = 0 as is_order_known,
    clinic,
    case_clinic,
    treatment_code,
    procedure_code,
    procedure_days,
    coalesce(nullif(procedure_result_code, 'unmapped'), 'not_stated') as result_code,
    coalesce(nullif(complication_code, 'unmapped'), 'not_stated') as complication_code,
    coalesce(procedure_result_code = 'success', false) and coalesce(count_if(procedure_result_code = 'success') over (
        partition by case_id order by attempt_number rows between unbounded preceding and 1 preceding
    ), 0) = 0 as is_removal,
    coalesce(lead(treatment_code) over (partition by case_id order by attempt_number), outcome_class) as next_step
from attempts
