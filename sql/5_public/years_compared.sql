-- Years beside each other: release and death by a fixed horizon, each year looked at the same lag after its end.
-- key:  admission_year
-- from: result.years_compared, withhold.decisions
--
-- columns:
--   admission_year: year of admission, as the network counts years
--   animals: live admissions with a known day
--   lag_days: days after each year's end up to which it is looked at, the same for all years
--   horizon_days: days from admission at which the next six columns are read
--   released_by_horizon: share released by then, endings competing, percent
--   released_low: its lower 95 % limit on the log(-log) scale, percent
--   released_high: its upper 95 % limit on the log(-log) scale, percent
--   dead_by_horizon: share died or euthanased by then, percent
--   dead_low: its lower 95 % limit on the log(-log) scale, percent
--   dead_high: its upper 95 % limit on the log(-log) scale, percent
--   open_at_lag: animals without an ending when the year was looked at
--   numerator: animals released, as known today
--   denominator: animals released, died or euthanased, as known today
--   percent: numerator in percent of denominator; empty below the network's floor
--   unresolved: live admissions in care, transferred out or of unknown ending, as known today
--   bound_low: percent if no unresolved animal were released
--   bound_high: percent if every unresolved animal were released
--   standardised: percent with the case mix of all years together
--   standardised_low: its lower 95 % limit, percent
--   standardised_high: its upper 95 % limit, percent
--   standardised_limits: what the limits allow for: clinics, or animals only
--   standardised_reason: why there is no standardised rate
--   note: why a figure is missing
with decided as (
    select
        years.*,
        decisions.reason,
        decisions.reason is null as is_shown,
        decisions.reason is null and years.denominator >= $minimum_for_percentage as has_percent
    from result.years_compared as years
    left join withhold.decisions as decisions on 'admission_year=' || years.admission_year = decisions.cell
)

select
    admission_year,
    case when is_shown then animals end as animals,
    lag_days,
    horizon_days,
    case when has_percent then round(released_by_horizon, 4) end as released_by_horizon,
    case when has_percent then round(released_low, 4) end as released_low,
    case when has_percent then round(released_high, 4) end as released_high,
    case when has_percent then round(dead_by_horizon, 4) end as dead_by_horizon,
    case when has_percent then round(dead_low, 4) end as dead_low,
    case when has_percent then round(dead_high, 4) end as dead_high,
    case when is_shown then open_at_lag end as open_at_lag,
    case when is_shown then numerator end as numerator,
    case when is_shown then denominator end as denominator,
    case when has_percent then round(percent, 4) end as percent,
    case when is_shown then unresolved end as unresolved,
    case when has_percent then round(bound_low, 4) end as bound_low,
    case when has_percent then round(bound_high, 4) end as bound_high,
    case when has_percent then round(standardised, 4) end as standardised,
    case when has_percent then round(standardised_low, 4) end as standardised_low,
    case when has_percent then round(standardised_high, 4) end as standardised_high,
    case when has_percent then nullif(standardised_limits, '') end as standardised_limits,
    case when has_percent then nullif(standardised_reason, '') end as standardised_reason,
    case when not is_shown then 'withheld: ' || reason when not has_percent then 'too few for a percentage' end as note
from decided
order by admission_year
