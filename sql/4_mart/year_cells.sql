-- One row per year that is over, clinic, ending and day: live admissions as they stood the same lag after each year's end.
-- key:  admission_year, clinic, ending, days, entry_days
-- from: mart.cases, run.about
--
-- The newest year ended lag_days before the as-of day, so every year is looked at so many days after its own end: what
-- happened later is not counted, or older years would have had longer to release their long stayers.
with ends as (
    select
        cases.*,
        about.as_of,
        cast((admission_year + 1) || '-' || $year_starts as date) - 1 as year_end
    from mart.cases as cases
    cross join run.about as about
    where is_tackle and is_alive_on_arrival and stay_days is not null and entry_days <= stay_days
),

lagged as (
    select *, min(date_diff('day', year_end, as_of)) over () as lag_days
    from ends
    where year_end <= as_of
),

seen as (
    select *, date_diff('day', admission_date, year_end) + lag_days as seen_days from lagged
)

select
    admission_year,
    clinic,
    case
        when stay_days > seen_days then 'pending'
        when outcome_class in ('died', 'euthanased') then 'dead'
        when outcome_class in ('captive', 'other_known') then 'other'
        else outcome_class
    end as ending,
    least(stay_days, seen_days) as days,
    entry_days,
    lag_days,
    count(*) as animals
from seen
where entry_days <= seen_days
group by all
