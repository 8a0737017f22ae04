-- One row per clinic and figure: the clinic's own count beside that of all clinics together.
-- key:  clinic, figure
-- from: mart.cases, mart.convention_roles
--
-- Of tackle cases; a case is the clinic's that admitted it first. The pooled side is empty if too few clinics
-- stand behind it. 'resolved' is the convention of the headline rate.
with tackle as (
    select
        cases.clinic,
        cases.outcome_class,
        cases.is_alive_on_arrival,
        cases.stay_days,
        roles.convention is not null as is_counted
    from mart.cases as cases
    left join mart.convention_roles as roles
        on roles.convention = 'resolved' and cases.outcome_class = roles.outcome_class
        and coalesce(cases.outcome_timing_code, 'not_stated') = roles.outcome_timing_code
    where cases.is_tackle
),

counted as (
    select
        clinic,
        count(distinct clinic) as clinics,
        count(*) as cases,
        count(*) filter (where is_alive_on_arrival) as alive,
        count(*) filter (where is_counted) as resolved,
        count(*) filter (where is_counted and outcome_class = 'released') as released,
        count(*) filter (where is_counted and outcome_class = 'died') as died,
        count(*) filter (where is_counted and outcome_class = 'euthanased') as euthanased,
        count(*) filter (where outcome_class in ('pending', 'transferred', 'unknown')) as unresolved
    from tackle
    group by grouping sets ((clinic), ())
),

listed as (
    select clinic, clinics, unnest([
        struct_pack(position := 1, figure := 'alive', label := 'alive on arrival', part := alive, whole := cases),
        struct_pack(position := 2, figure := 'released', label := 'released, of those admitted alive whose ending is known', part := released, whole := resolved),
        struct_pack(position := 3, figure := 'died', label := 'died unassisted, of the same', part := died, whole := resolved),
        struct_pack(position := 4, figure := 'euthanased', label := 'euthanased, of the same', part := euthanased, whole := resolved),
        struct_pack(position := 5, figure := 'unresolved', label := 'ending not known or not yet', part := unresolved, whole := cases)
    ], recursive := true)
    from counted
)

select
    own.clinic,
    own.position,
    own.figure,
    own.label,
    own.part,
    own.whole,
    case when own.whole >= $minimum_for_percentage then round(100.0 * own.part / own.whole, 1) end as percent,
    case when pooled.clinics >= $minimum_clinics then pooled.part end as pooled_part,
    case when pooled.clinics >= $minimum_clinics then pooled.whole end as pooled_whole,
    case when pooled.clinics >= $minimum_clinics and pooled.whole >= $minimum_for_percentage
        then round(100.0 * pooled.part / pooled.whole, 1)
    end as pooled_percent
from listed as own
inner join listed as pooled on own.figure = pooled.figure and pooled.clinic is null
where own.clinic is not null
