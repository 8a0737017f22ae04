-- One row per tackle case that a planned comparison can use: what was known at the first admission.
-- key:  case
-- from: mart.cases, mart.findings, mart.procedures
--
-- Alive on arrival, with a known last day, and from its first day: what another clinic had begun is no baseline. has_undated: a procedure without a day cannot be put in order, so a
-- comparison that depends on it leaves the case out and counts it. A lead level is grouped at 40 ug/dL, the
-- level of clinical poisoning in waterbirds (from memory, to be verified).
with first_lead as (
    select case_id, arg_min(finding_value, finding_order) as level
    from mart.findings
    where finding_code = 'lead_level' and finding_value is not null
    group by case_id
),

undated as (
    select case_id, list(distinct procedure_code order by procedure_code) as undated_procedures
    from mart.procedures
    where procedure_days is null
    group by case_id
)

select
    cases.case_id as "case",
    cases.clinic,
    coalesce(cases.taxon_group_code, '') as taxon_group,
    coalesce(cases.injury_code, '') as injury,
    coalesce(cases.body_site_code, '') as body_site,
    coalesce(cases.severity_code, '') as severity,
    coalesce(cases.line_trailing_code, '') as line_trailing,
    coalesce(cases.hook_kind_code, '') as hook_kind,
    coalesce(cases.gear_code, '') as gear,
    coalesce(cases.lead_code, '') as lead,
    coalesce(cases.life_stage_code, '') as life_stage,
    coalesce(cases.body_condition_code, '') as body_condition,
    coalesce(cases.triage_score, '') as triage_score,
    coalesce(cases.injury_age_code, '') as injury_age,
    case when first_lead.level < 40 then 'below 40 ug/dL' when first_lead.level >= 40 then '40 ug/dL or more' else '' end
        as first_lead_level,
    coalesce(cases.line_trailing_code, '') = 'yes' as has_line,
    cases.is_from_notes,
    cases.stay_days,
    coalesce(undated.undated_procedures, []) as undated_procedures
from mart.cases as cases
left join first_lead on cases.case_id = first_lead.case_id
left join undated on cases.case_id = undated.case_id
where cases.is_tackle and cases.is_alive_on_arrival and cases.entry_days = 0
