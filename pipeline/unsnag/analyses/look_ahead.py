"""What happens next to a swallowed hook under watch, from the day on which somebody asks."""

import numpy as np
import pandas as pd

from unsnag.stats.incidence import incidence_at, incidence_from_counts, log_log_limits, on_days
from unsnag.stats.risk_counts import risk_counts

TITLE = "A hook under watch: what happens next"
QUESTION = "A swallowed hook is still in place on this day: what happens first in the days after it?"
CAUTION = (
    "Chances under the clinics' usual practice, not 'if left alone': clinics retrieve the hooks that worry them. "
    "Passing is seen only on the next film, so it happened earlier than it was seen."
)
COLUMNS = {
    "landmark_days": "whole days from first admission to the day that is asked about",
    "taxon_group_code": "the animals: a code of taxon_group.csv, or 'all'",
    "body_site_code": "where the hook is: a code of body_site.csv, or 'all'",
    "event": "what came first: passed, attempt, dead, left_care, or still_there (nothing yet)",
    "horizon_days": "whole days after the landmark at which the chance is read",
    "animals": "animals whose hook was under watch at the end of the landmark day",
    "clinics": "clinics that they came to",
    "count": "of these, seen to have it first by the horizon; still_there: seen under watch for so long",
    "chance": "chance by the horizon, a passing counted on the day of the film that saw it, percent",
    "low": "lower 95 % limit on the log(-log) scale, percent",
    "high": "upper 95 % limit on the log(-log) scale, percent",
    "chance_if_early": "the same chance, a passing counted on the day of the last film before, percent",
}
KEY = ["landmark_days", "taxon_group_code", "body_site_code"]
EVENTS = ("passed", "attempt", "dead", "left_care")
STILL = "still_there"
HORIZONS = (7, 14, 28)
COUNTS = """
with grouped as (
    select
        landmark_days, clinic, first_event, event_days, earliest_days,
        unnest([
            struct_pack(taxon_group_code := 'all', body_site_code := 'all'),
            struct_pack(taxon_group_code := coalesce(taxon_group_code, 'not_stated'), body_site_code := 'all'),
            struct_pack(taxon_group_code := 'all', body_site_code := coalesce(body_site_code, 'not_stated')),
            struct_pack(
                taxon_group_code := coalesce(taxon_group_code, 'not_stated'),
                body_site_code := coalesce(body_site_code, 'not_stated')
            )
        ], recursive := true)
    from mart.look_ahead
)
"""
DAYS = (
    COUNTS
    + """
select
    landmark_days, taxon_group_code, body_site_code, first_event, event_days, earliest_days, count(*) as animals
from grouped
group by all
order by all
"""
)
SIZES = (
    COUNTS
    + """
select
    landmark_days, taxon_group_code, body_site_code, count(*) as animals, count(distinct clinic) as clinics
from grouped
group by all
order by all
"""
)


def compute(mart):
    """One row per landmark day, group, event and horizon.

    Source  landmark incidence: Nicolaie et al. (2013) Stat Med 32:2031-2047; estimator as in analyses/endings
    """
    days, sizes = mart.frame(DAYS), mart.frame(SIZES)
    if days.empty:
        return pd.DataFrame(columns=list(COLUMNS))
    chances = by_horizon(days, "event_days")
    early = by_horizon(days, "earliest_days")[[*KEY, "event", "horizon_days", "chance"]]
    early = early.rename(columns={"chance": "chance_if_early"})
    frame = sizes.merge(chances, on=KEY).merge(early, on=[*KEY, "event", "horizon_days"])
    return frame[list(COLUMNS)]


def by_horizon(days, clock):
    """Chance of each event, and of none yet, at each horizon, for every landmark and group.

    days  : frame with the columns of KEY, first_event, animals and the clock
    clock : column with whole days from the landmark to the first event, or to the last sight
    Returns     frame with KEY, event, horizon_days, count, chance, low, high; percent
    """
    label = days["landmark_days"].astype(str).str.cat(days[KEY[1:]], sep="|")
    counts = risk_counts(days[clock], days["first_event"], EVENTS, group=label, weights=days["animals"])
    curve = incidence_from_counts(counts.days, counts.at_risk, counts.events)
    seen = on_days(np.cumsum(counts.events, axis=-1), counts.days, HORIZONS)
    blocks = [*zip(EVENTS, *map(_by_event, (seen, *incidence_at(curve, HORIZONS))), strict=True)]
    blocks.append((STILL, *_still_there(counts, curve)))
    keys = pd.DataFrame([name.split("|") for name in counts.groups], columns=KEY)
    keys = keys.astype({"landmark_days": days["landmark_days"].dtype})
    return pd.concat(
        [_block(keys, event, number, block) for event, *block in blocks for number in range(len(HORIZONS))],
        ignore_index=True,
    ).sort_values([*KEY, "horizon_days"], kind="stable", ignore_index=True)


def _by_event(values):
    """(groups, events, horizons) as one (groups, horizons) for each event."""
    return np.moveaxis(values, 1, 0)


def _still_there(counts, curve):
    """Nothing yet: how many were watched beyond the horizon, and the chance of it with its limits."""
    any_event = incidence_from_counts(counts.days, counts.at_risk, counts.events.sum(axis=1, keepdims=True))
    is_known = ~np.isnan(incidence_at(any_event, HORIZONS)[0][:, 0])
    limits = log_log_limits(curve.in_care, any_event.variance[:, 0])
    chance, low, high = (
        np.where(is_known, on_days(values, curve.days, HORIZONS, before), np.nan)
        for values, before in ((curve.in_care, 1.0), (limits[0], np.nan), (limits[1], np.nan))
    )
    return _watched_beyond(counts), chance, low, high


def _watched_beyond(counts):
    later = counts.days > np.array(HORIZONS)[:, None]
    first_later = np.where(later.any(axis=1), later.argmax(axis=1), -1)
    return np.where(first_later < 0, 0, counts.at_risk[:, first_later])


def _block(keys, event, number, block):
    seen, chance, low, high = (values[:, number] for values in block)
    return keys.assign(
        event=event,
        horizon_days=HORIZONS[number],
        count=seen.astype(int),
        chance=100 * chance,
        low=100 * low,
        high=100 * high,
    )
