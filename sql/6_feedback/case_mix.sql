-- One row per clinic and kind of case: the clinic's resolved and released animals beside those of all clinics together.
-- key:  clinic, stratum
-- from: mart.case_mix_cells
--
-- Kinds of case that too few clinics have are left out: the pooled count would be another clinic's own.
with by_clinic as (
    select clinic, stratum, sum(released) as released, sum(resolved) as resolved
    from mart.case_mix_cells
    group by clinic, stratum
),

pooled as (
    select
        *,
        sum(released) over (partition by stratum) as pooled_released,
        sum(resolved) over (partition by stratum) as pooled_resolved,
        count(*) over (partition by stratum) as clinics
    from by_clinic
)

select
    clinic,
    stratum,
    cast(released as bigint) as released,
    cast(resolved as bigint) as resolved,
    cast(pooled_released as bigint) as pooled_released,
    cast(pooled_resolved as bigint) as pooled_resolved
from pooled
where clinics >= $minimum_clinics
