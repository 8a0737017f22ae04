-- A film shows gear, or gear was treated, in an animal that is not counted as injured by tackle.
-- level: question
-- remedy: Have the cause or the gear filled in at the clinic if it was fishing tackle, else correct the word's code
-- from: mart.cases, mart.stays, mart.procedures, mart.findings
--
-- Gear that was taken out is asked about in removal_without_gear.sql.
with told as (
    select case_id, finding_code as code
    from mart.findings
    where finding_code in ('gear_in_place', 'gear_unmoved', 'gear_moved', 'gear_passed')
    union
    select case_id, procedure_code
    from mart.procedures
    where procedure_kind in ('watch', 'line_removal')
        or (procedure_kind = 'retrieval' and procedure_result_code is distinct from 'success')
)

select stays.clinic, stays.case_number, stays.file_id, cast(null as integer) as row_number,
    string_agg(told.code, ', ' order by told.code) || ', cause ' || coalesce(cases.cause_code, 'not stated') as detail
from told
inner join mart.cases as cases on told.case_id = cases.case_id
inner join mart.stays as stays on cases.case_id = stays.case_id and stays.stay_number = 1
where not cases.is_tackle and coalesce(cases.cause_code, '') <> 'entanglement_other'
group by stays.clinic, stays.case_number, stays.file_id, cases.cause_code
