-- One row per question about procedures, kind of treatment or procedure, answer and clinic: how many.
-- key:  measure, axis, code, answer, clinic
-- from: mart.removal_attempts, mart.treatments, mart.gear_items, mart.cases, codes.procedure_result
--
-- What is counted differs, and so do the totals: animals, procedures or gear items (codes/procedure_measures.csv).
-- An animal with several treatments stands in each that it reached where its gear and its release are asked about.
with kinds as (
    select
        *,
        unnest([
            struct_pack(axis := 'all', code := 'all'),
            struct_pack(axis := 'treatment', code := treatment_code),
            struct_pack(axis := 'procedure', code := procedure_code)
        ], recursive := true)
    from mart.removal_attempts
),

first_attempts as (
    select kinds.*, result.is_success
    from kinds
    left join codes.procedure_result as result on kinds.result_code = result.code
    where kinds.attempt_number = 1 and kinds.is_order_known
),

animals as (
    select case_id, 'treatment' as axis, treatment_code as code from mart.treatments
    union all
    select case_id, 'all', 'all' from mart.cases
    where is_tackle and is_alive_on_arrival
),

long as (
    select 'first_attempt' as measure, axis, code, result_code as answer, case_clinic as clinic from first_attempts
    union all
    select 'attempt', axis, code, result_code, clinic from kinds
    union all
    select 'after_failure', axis, code, next_step, case_clinic from first_attempts
    where is_success = 'no'
    union all
    select 'complication', axis, code, complication_code, clinic from kinds
    union all
    select
        'gear_item', animals.axis, animals.code,
        coalesce(nullif(nullif(items.gear_fate_code, 'unmapped'), 'unknown_fate'), 'not_stated'), cases.clinic
    from animals
    inner join mart.cases as cases on animals.case_id = cases.case_id
    inner join mart.gear_items as items on animals.case_id = items.case_id
    union all
    select
        'at_release', animals.axis, animals.code,
        coalesce(nullif(nullif(cases.gear_at_release_code, 'unmapped'), 'uncertain'), 'not_stated'), cases.clinic
    from animals
    inner join mart.cases as cases on animals.case_id = cases.case_id
    where cases.outcome_class = 'released'
)

select measure, axis, code, answer, clinic, count(*) as count
from long
group by measure, axis, code, answer, clinic
