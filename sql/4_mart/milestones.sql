-- One row per freshwater turtle's case and milestone of its convalescence: days after its last coeliotomy.
-- key:  case_id, milestone
-- from: mart.procedures, mart.findings, mart.cases, codes.convalescence_window
--
-- The wound's time runs from the last operation through the body wall; what came before it belongs to no milestone.
-- 'operation' stands for the operation itself, so that those operated on are counted.
with operations as (
    select cases.case_id, cases.clinic, max(procedures.procedure_days) as operation_days
    from mart.procedures as procedures
    inner join mart.cases as cases on procedures.case_id = cases.case_id
    where procedures.procedure_code = 'surgery_coeliotomy' and procedures.procedure_days >= 0
        and cases.taxon_group_code = 'freshwater_turtle' and cases.is_tackle and cases.is_alive_on_arrival
    group by cases.case_id, cases.clinic
),

events as (
    select case_id, procedure_code as event, procedure_days as days from mart.procedures
    union all
    select case_id, finding_code, finding_days from mart.findings
    union all
    select case_id, outcome_class, stay_days from mart.cases
),

milestones as (
    select milestone, unnest(string_split(events, ' ')) as event from codes.convalescence_window
)

select
    operations.case_id, operations.clinic, milestones.milestone,
    min(events.days - operations.operation_days) as days_after
from operations
inner join events on operations.case_id = events.case_id and events.days >= operations.operation_days
inner join milestones on events.event = milestones.event
group by operations.case_id, operations.clinic, milestones.milestone
union all
select case_id, clinic, 'operation', 0 from operations
