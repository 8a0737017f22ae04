-- One row per live case with a swallowed hook: the first attempt to get it out, the film that saw it gone, the ending.
-- key:  case_id
-- from: mart.cases, mart.procedures, mart.findings, mart.gear_items, codes.procedure, codes.gear
--
-- A hook passes unseen between last_in_place_days and passed_days. It has passed too if it was on a film and is not on
-- a later one (finding.csv, gear_passed); where the record gives no day, by the ending at the latest.
-- why_left_out: what happened first cannot be told from the record.
with hooks as (
    select cases.*
    from mart.cases as cases
    left join codes.gear as gear on cases.gear_code = gear.code
    where cases.is_tackle and cases.is_alive_on_arrival and cases.injury_code = 'ingested'
        and (gear.is_hook = 'yes' or cases.hook_kind_code is not null)
),

attempts as (
    select
        procedures.case_id,
        min(procedures.procedure_days) as attempt_days,
        not bool_and(coalesce(procedures.procedure_days >= 0, false)) as is_undated
    from mart.procedures as procedures
    inner join codes.procedure as list on procedures.procedure_code = list.code
    where list.is_attempt_at_removal = 'yes'
    group by procedures.case_id
),

first_film as (
    select case_id, min(finding_days) as seen_days
    from mart.findings
    where finding_code in ('gear_in_place', 'gear_unmoved', 'gear_moved')
    group by case_id
),

seen_gone as (
    select findings.case_id, min(findings.finding_days) as gone_days
    from mart.findings as findings
    left join first_film on findings.case_id = first_film.case_id
    where findings.finding_code = 'gear_passed'
        or (findings.finding_code = 'gear_not_seen' and findings.finding_days > first_film.seen_days)
    group by findings.case_id
),

told as (
    select
        hooks.case_id, hooks.clinic, hooks.taxon_group_code, hooks.body_site_code, hooks.stay_days,
        hooks.outcome_class, hooks.gear_at_release_code, items.gear_fate_code,
        attempts.attempt_days, coalesce(attempts.is_undated, false) as is_undated,
        coalesce(
            least(seen_gone.gone_days, if(items.gear_fate_code = 'passed', items.gear_fate_days, null)),
            if(items.gear_fate_code = 'passed', hooks.stay_days, null)
        ) as passed_days
    from hooks
    left join mart.gear_items as items on hooks.case_id = items.case_id and items.is_principal
    left join attempts on hooks.case_id = attempts.case_id
    left join seen_gone on hooks.case_id = seen_gone.case_id
)

select
    told.case_id, clinic, taxon_group_code, body_site_code, attempt_days, passed_days, stay_days, outcome_class,
    coalesce((
        select max(findings.finding_days)
        from mart.findings as findings
        where findings.case_id = told.case_id and findings.finding_days between 0 and told.passed_days - 1
            and findings.finding_code in ('gear_in_place', 'gear_unmoved', 'gear_moved')
    ), 0) as last_in_place_days,
    case
        when stay_days is null then 'ending without a day'
        when is_undated then 'attempt without a day'
        when attempt_days is null and passed_days is null
            and (gear_fate_code = 'removed' or gear_at_release_code = 'no') then 'gone, not said how'
    end as why_left_out
from told
