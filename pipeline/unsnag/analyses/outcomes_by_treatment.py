"""How animals so treated ended, counted from the day of that treatment."""

import numpy as np
import pandas as pd

from unsnag.stats.incidence import incidence_at, incidence_from_counts
from unsnag.stats.proportions import clopper_pearson, wilson
from unsnag.stats.risk_counts import risk_counts
from unsnag.stats.standardise import direct_rate

TITLE = "Outcomes by injury and treatment"
QUESTION = "How did animals end that were treated so?"
CAUTION = (
    "This table says how animals so treated ended, not what the treatment did. The sickest are euthanased or "
    "operated late, the well are watched; a case with several treatments stands in each row that it reached."
)
COLUMNS = {
    "injury_code": "how the tackle injured: a code of injury.csv",
    "taxon_group_code": "the animals: a code of taxon_group.csv, or 'all'",
    "body_site_code": "where in the body: a code of body_site.csv, or 'all'",
    "treatment_code": "the treatment reached: a code of treatment.csv",
    "animals": "animals that reached the treatment, failed attempts included",
    "clinics": "clinics that they came to",
    "released": "of these, released",
    "died": "of these, died without euthanasia",
    "euthanased": "of these, euthanased",
    "other_known": "of these, ended otherwise (kept for good, escaped, given back)",
    "unresolved": "of these, still in care, transferred out or unknown",
    "percent_released": "released in percent of released, died and euthanased",
    "wilson_low": "lower 95 % limit, Wilson, percent",
    "wilson_high": "upper 95 % limit, Wilson, percent",
    "exact_low": "lower 95 % limit, exact (Clopper-Pearson), percent",
    "exact_high": "upper 95 % limit, exact (Clopper-Pearson), percent",
    "standardised": "percent released with the severity of all resolved animals of the injury, group and site",
    "standardised_low": "its lower 95 % limit, percent",
    "standardised_high": "its upper 95 % limit, percent",
    "standardised_reason": "why there is no standardised rate; empty if there is",
    "median_days": "median days from the treatment to release, among the released",
    "horizon_days": "days after the treatment at which the next four columns are read",
    "release_by_horizon": "share released by then, counted from the day of the treatment, percent",
    "release_low": "its lower 95 % limit on the log(-log) scale, percent",
    "release_high": "its upper 95 % limit on the log(-log) scale, percent",
    "death_by_horizon": "share that had died or been euthanased by then, percent",
}
KEY = ["injury_code", "taxon_group_code", "body_site_code", "treatment_code"]
CAUSES = ("released", "dead", "other")
GROUPED = """
with grouped as (
    select * from (
        select *, 'all' as group_taxon, 'all' as group_site from mart.treatments
        union all
        select *, taxon_group_code, 'all' from mart.treatments
        union all
        select *, 'all', coalesce(body_site_code, 'not_stated') from mart.treatments
        union all
        select *, taxon_group_code, coalesce(body_site_code, 'not_stated') from mart.treatments
    )
)
"""
DAYS = (
    GROUPED
    + """
select
    coalesce(injury_code, 'not_stated') as injury_code, group_taxon as taxon_group_code,
    group_site as body_site_code, treatment_code, days_from_treatment,
    case
        when outcome_class = 'released' then 'released'
        when outcome_class in ('died', 'euthanased') then 'dead'
        when outcome_class in ('captive', 'other_known') then 'other'
        else ''
    end as ending,
    count(*) as animals
from grouped
where days_from_treatment >= 0
group by all
order by all
"""
)

COUNTS = (
    GROUPED
    + """
select
    coalesce(injury_code, 'not_stated') as injury_code, group_taxon as taxon_group_code, group_site as body_site_code,
    treatment_code,
    count(*) as animals,
    count(distinct clinic) as clinics,
    count(*) filter (where outcome_class = 'released') as released,
    count(*) filter (where outcome_class = 'died') as died,
    count(*) filter (where outcome_class = 'euthanased') as euthanased,
    count(*) filter (where outcome_class in ('captive', 'other_known')) as other_known,
    count(*) filter (where outcome_class in ('pending', 'transferred', 'unknown')) as unresolved,
    median(days_from_treatment) filter (where outcome_class = 'released' and days_from_treatment >= 0) as median_days
from grouped
group by all
order by all
"""
)


MIX = f"select {', '.join(KEY)}, stratum, released, resolved from mart.treatment_mix order by all"
RATES = ("standardised", "standardised_low", "standardised_high", "standardised_reason")
NO_BAND = "no animal so treated of a severity that others had"


def compute(mart):
    """One row per injury, taxon group, body site and treatment reached."""
    frame = mart.frame(COUNTS)
    count = frame["released"].to_numpy()
    total = frame[["released", "died", "euthanased"]].sum(axis=1).to_numpy()
    with np.errstate(invalid="ignore", divide="ignore"):
        frame["percent_released"] = 100 * count / total
    for name, limits in (("wilson", wilson(count, total)), ("exact", clopper_pearson(count, total))):
        frame[f"{name}_low"], frame[f"{name}_high"] = (100 * limit for limit in limits)
    frame = frame.merge(standardised(mart.frame(MIX)), on=KEY, how="left").fillna(
        {"standardised_reason": NO_BAND}
    )
    horizon = mart.settings["horizon_days"]
    by_horizon = from_treatment(mart.frame(DAYS), horizon)
    return frame.merge(by_horizon, on=KEY, how="left").assign(horizon_days=horizon)[list(COLUMNS)]


def from_treatment(days, horizon):
    """Incidence of release and of death at the horizon, time counted from the day of the treatment.

    days    : frame with the columns of KEY, days_from_treatment, ending and animals
    horizon : whole days
    Returns     frame, one row a group, percent
    """
    group = days[KEY[0]].str.cat(days[KEY[1:]], sep="|")
    counts = risk_counts(
        days["days_from_treatment"], days["ending"], CAUSES, group=group, weights=days["animals"]
    )
    curve = incidence_from_counts(counts.days, counts.at_risk, counts.events)
    share, low, high = (100 * values[..., 0] for values in incidence_at(curve, horizon))
    frame = pd.DataFrame([label.split("|") for label in counts.groups], columns=KEY)
    return frame.assign(
        release_by_horizon=share[:, 0],
        release_low=low[:, 0],
        release_high=high[:, 0],
        death_by_horizon=share[:, 1],
    )


def standardised(mix):
    """Release rates as they would be had every treatment met the severity of all animals of its group.

    mix     : frame with the columns of KEY, stratum, released and resolved; the treatment 'all' is the standard
    Returns     frame, one row a group and treatment, percent
    """
    if mix.empty:
        return pd.DataFrame(columns=[*KEY, *RATES])
    wide = mix.pivot_table(["released", "resolved"], KEY, "stratum", "sum", fill_value=0)
    count, total = wide["released"].to_numpy(), wide["resolved"].to_numpy()
    groups = wide.index.droplevel("treatment_code")
    is_standard = wide.index.get_level_values("treatment_code") == "all"
    standards = pd.DataFrame(total[is_standard], index=groups[is_standard]).loc[groups].to_numpy()
    rows = [direct_rate(*row) for row in zip(count, total, standards, strict=True)]
    rate, low, high, covered = np.array(rows, dtype=float).reshape(-1, 4).T
    frame = wide.index.to_frame(index=False).assign(
        standardised=100 * rate,
        standardised_low=100 * low,
        standardised_high=100 * high,
        standardised_reason=np.where(covered < 1 - 1e-12, NO_BAND, ""),
    )
    return frame[~is_standard]
