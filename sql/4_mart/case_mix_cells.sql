-- One row per clinic, year and case-mix stratum: live admissions whose case is resolved, and how many were released.
-- key:  clinic, admission_year, stratum
-- from: mart.cases, mart.convention_roles, codes.case_mix
--
-- A stratum is where the injury is and how grave it is, as codes/case_mix.csv groups them: wide enough that a
-- clinic or a year has animals in each. 'resolved' is the convention of the headline rate.
select
    cases.clinic,
    cases.admission_year,
    coalesce(injury.stratum, 'not_stated') || '|' || coalesce(severity.stratum, 'not_stated') as stratum,
    severity.stratum is not null as has_severity,
    count(*) filter (where roles.is_numerator) as released,
    count(*) as resolved
from mart.cases as cases
inner join mart.convention_roles as roles
    on roles.convention = 'resolved' and cases.outcome_class = roles.outcome_class
    and coalesce(cases.outcome_timing_code, 'not_stated') = roles.outcome_timing_code
left join codes.case_mix as injury on injury.vocabulary = 'injury' and cases.injury_code = injury.code
left join codes.case_mix as severity on severity.vocabulary = 'severity' and cases.severity_code = severity.code
where cases.is_tackle
group by all
