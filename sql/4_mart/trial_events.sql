-- One row per dated event of a tackle case, in the words of the emulated trial (stats/emulation).
-- key:  case, day, event, procedure_code
-- from: mart.cases, mart.procedures, mart.findings
--
-- Which procedures count as intervening is the question's affair; by what means is told from the treatment.
with endings as (
    select
        case_id, stay_days as day,
        case outcome_class
            when 'pending' then 'in_care' when 'unknown' then 'lost' when 'transferred' then 'transferred'
            when 'released' then 'released' when 'died' then 'died' when 'euthanased' then 'euthanased' else 'other'
        end as event
    from mart.cases
),

attempts as (
    select
        case_id, procedure_days as day, procedure_code,
        case
            when procedure_code = 'line_cut_hook_left' then 'line_cut'
            when treatment_code = 'endoscopic_retrieval' then 'retrieval_endoscopy'
            when treatment_code = 'surgery' then 'retrieval_surgery'
            else 'retrieval_manual'
        end as event
    from mart.procedures
    where treatment_code is not null and treatment_code not in ('watched', 'supportive_only')
),

seen as (
    select
        case_id, finding_days as day,
        case finding_code
            when 'gear_passed' then 'gear_passed' when 'gear_unmoved' then 'unmoved' when 'gear_moved' then 'moved'
            when 'worse' then 'worse' when 'improved' then 'improved'
        end as event
    from mart.findings
)

select distinct events.case_id as "case", events.day, events.event, events.procedure_code
from (
    select case_id, day, event, '' as procedure_code from endings
    union all
    select case_id, day, event, procedure_code from attempts
    union all
    select case_id, day, event, '' from seen
) as events
inner join mart.cases as cases on events.case_id = cases.case_id
where events.day >= 0 and events.event is not null and cases.is_tackle and cases.is_alive_on_arrival and cases.entry_days = 0
