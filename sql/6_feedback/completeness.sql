-- One row per clinic and field: how complete the clinic's records are beside the others', who stay anonymous.
-- key:  clinic, field
-- from: mart.completeness
--
-- Of the others the spread is told, and only if there are enough of them with enough cases each: with fewer, one
-- clinic could read another's figures off its own.
with by_clinic as (
    select clinic, field, sum(cases) as cases, sum(filled) as filled
    from mart.completeness
    group by clinic, field
),

others as (
    select
        own.clinic,
        own.field,
        count(*) as other_clinics,
        min(100.0 * other.filled / other.cases) as lowest,
        median(100.0 * other.filled / other.cases) as middle,
        max(100.0 * other.filled / other.cases) as highest
    from by_clinic as own
    inner join by_clinic as other on own.field = other.field and own.clinic <> other.clinic
    where other.cases >= $minimum_for_percentage
    group by own.clinic, own.field
)

select
    own.clinic,
    own.field,
    cast(own.cases as integer) as cases,
    cast(own.filled as integer) as filled,
    cast(round(100.0 * own.filled / nullif(own.cases, 0)) as integer) as percent,
    case when others.other_clinics >= $minimum_clinics then cast(round(lowest / 5) * 5 as integer) end as others_lowest,
    case when others.other_clinics >= $minimum_clinics then cast(round(middle / 5) * 5 as integer) end as others_middle,
    case when others.other_clinics >= $minimum_clinics then cast(round(highest / 5) * 5 as integer) end as others_highest
from by_clinic as own
left join others on own.clinic = others.clinic and own.field = others.field
where own.cases > 0
