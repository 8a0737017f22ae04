"""Years beside each other: release by a fixed horizon, each year looked at the same lag after its end."""

import numpy as np
import pandas as pd

from unsnag.stats.bounds import unresolved_bounds
from unsnag.stats.clustering import clustered_standardised_rate
from unsnag.stats.incidence import incidence_at, incidence_from_counts
from unsnag.stats.risk_counts import risk_counts
from unsnag.stats.standardise import direct_rate

TITLE = "Years compared"
QUESTION = "Were animals released more often in some years than in others, when every year is looked at equally long?"
CAUTION = (
    "Years differ in what came: the standardised rate removes differences in where the injury was and how grave, and "
    "nothing else. The newest year still carries animals in care: see its bounds."
)
COLUMNS = {
    "admission_year": "year of admission, as the network counts years",
    "animals": "live admissions with a known day",
    "clinics": "clinics that they came to",
    "lag_days": "days after each year's end up to which it is looked at, the same for all years",
    "horizon_days": "days from admission at which the next six columns are read",
    "released_by_horizon": "share released by then (Aalen-Johansen), percent",
    "released_low": "its lower 95 % limit on the log(-log) scale, percent",
    "released_high": "its upper 95 % limit on the log(-log) scale, percent",
    "dead_by_horizon": "share died or euthanased by then, percent",
    "dead_low": "its lower 95 % limit on the log(-log) scale, percent",
    "dead_high": "its upper 95 % limit on the log(-log) scale, percent",
    "open_at_lag": "animals without an ending when the year was looked at",
    "numerator": "animals released, as known today",
    "denominator": "animals released, died or euthanased, as known today",
    "percent": "numerator in percent of denominator",
    "unresolved": "live admissions in care, transferred out or of unknown ending, as known today",
    "bound_low": "percent if no unresolved animal were released",
    "bound_high": "percent if every unresolved animal were released",
    "standardised": "percent with the case mix of all years together",
    "standardised_low": "its lower 95 % limit, percent",
    "standardised_high": "its upper 95 % limit, percent",
    "standardised_limits": "what the limits allow for: clinics, or animals only",
    "standardised_reason": "why there is no standardised rate; empty if there is",
}
STANDARDISED = [name for name in COLUMNS if name.startswith("standardised")]
NO_SEVERITY = "no animal with a stated severity"
CAUSES = ("released", "dead", "other")
DAYS = """
select admission_year, clinic, ending, days, entry_days, lag_days, animals
from mart.year_cells
order by all
"""
RATES = """
select
    cells.group_code::bigint as admission_year,
    coalesce(sum(cells.animals) filter (where roles.is_numerator), 0)::bigint as numerator,
    coalesce(sum(cells.animals) filter (where roles.is_numerator is not null), 0)::bigint as denominator,
    coalesce(sum(cells.animals) filter (
        where cells.outcome_class in ('pending', 'transferred', 'unknown')
            and cells.outcome_timing_code <> 'before_admission'
    ), 0)::bigint as unresolved
from mart.rate_cells as cells
left join mart.convention_roles as roles
    on roles.convention = 'resolved' and roles.outcome_class = cells.outcome_class
    and roles.outcome_timing_code = cells.outcome_timing_code
where cells.grouping = 'admission_year'
group by all
order by all
"""
STRATA = """
select admission_year, clinic, stratum, released, resolved
from mart.case_mix_cells
where has_severity
order by all
"""


def compute(mart):
    """One row per year that is over.

    Source  incidence: stats.incidence; standardising: stats.standardise, stats.clustering
    """
    days = mart.frame(DAYS)
    if days.empty:
        return pd.DataFrame(columns=list(COLUMNS))
    frame = at_horizon(days, mart.settings["horizon_days"])
    frame = frame.merge(resolved(mart.frame(RATES)), on="admission_year", how="left")
    frame = frame.merge(standardised(mart.frame(STRATA)), on="admission_year", how="left")
    return frame.fillna({"standardised_limits": "", "standardised_reason": NO_SEVERITY})[list(COLUMNS)]


def at_horizon(days, horizon):
    """Incidence of release and of death at the horizon, one row a year.

    days    : frame with admission_year, clinic, ending, days, entry_days, lag_days, animals
    horizon : whole days
    """
    counts = risk_counts(
        days["days"], days["ending"], CAUSES, days["admission_year"], days["entry_days"], days["animals"]
    )
    curve = incidence_from_counts(counts.days, counts.at_risk, counts.events)
    share, low, high = (100 * values[..., 0] for values in incidence_at(curve, horizon))
    by_year = days.groupby("admission_year")
    is_open = ~days["ending"].isin(CAUSES)
    columns = {
        f"{name}{end}": values[:, CAUSES.index(cause)]
        for name, cause in (("released", "released"), ("dead", "dead"))
        for end, values in (("_by_horizon", share), ("_low", low), ("_high", high))
    }
    frame = pd.DataFrame({"admission_year": counts.groups} | columns)
    return frame.assign(
        animals=by_year["animals"].sum().to_numpy(),
        clinics=by_year["clinic"].nunique().to_numpy(),
        lag_days=int(days["lag_days"].iloc[0]),
        horizon_days=horizon,
        open_at_lag=(days["animals"] * is_open).groupby(days["admission_year"]).sum().to_numpy(),
    )


def resolved(rates):
    """The headline rate as known today, with its bounds; rates : frame of RATES."""
    rate, low, high = unresolved_bounds(rates["numerator"], rates["denominator"], rates["unresolved"])
    return rates.assign(percent=100 * rate, bound_low=100 * low, bound_high=100 * high)


def standardised(strata):
    """The rate with the case mix of all years; strata : frame of STRATA."""
    if strata.empty:
        return pd.DataFrame(columns=["admission_year", *STANDARDISED])
    axes = [strata[name].unique() for name in ("admission_year", "stratum", "clinic")]
    grid = pd.MultiIndex.from_product(axes, names=["admission_year", "stratum", "clinic"])
    cells = strata.set_index(grid.names).reindex(grid, fill_value=0)
    shape = tuple(map(len, axes))
    count, total = (cells[name].to_numpy().reshape(shape) for name in ("released", "resolved"))
    standard = total.sum(axis=(0, 2))
    rate, low, high, covered = direct_rate(count.sum(axis=2), total.sum(axis=2), standard)
    between = clustered_standardised_rate(count, total, standard)
    is_clustered = ~np.isnan(between.low)
    return pd.DataFrame(
        {
            "admission_year": axes[0],
            "standardised": 100 * rate,
            "standardised_low": 100 * np.where(is_clustered, between.low, low),
            "standardised_high": 100 * np.where(is_clustered, between.high, high),
            "standardised_limits": np.where(
                np.isnan(rate), "", np.where(is_clustered, "clinics", "animals only")
            ),
            "standardised_reason": np.where(
                covered < 1 - 1e-12, "a kind of case that other years had did not come", ""
            ),
        }
    )
