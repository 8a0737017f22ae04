"""Expected tackle cases a year at each candidate site, with its trend."""

import numpy as np
import pandas as pd

from unsnag.stats.sites.expected import expected_yearly
from unsnag.stats.sites.trend import yearly_trend

TITLE = "Expected cases at sites"
QUESTION = "How many animals injured by tackle are to be expected in a year at each candidate site?"
CAUTION = (
    "What is expected rests on what was reported. The worst sites of the past were partly unlucky: their figures are "
    "drawn towards the mean of the sites. A trend is described, not explained."
)
COLUMNS = {
    "site_id": "the candidate site",
    "years": "years of record of the clinic that most of its animals come to",
    "tackle": "tackle incidents in these years",
    "other": "incidents of other causes, same groups of animals",
    "raw": "tackle incidents a year, as counted",
    "expected": "tackle incidents to be expected a year, drawn towards the mean of the sites",
    "low": "lower 95 % limit of that",
    "high": "upper 95 % limit",
    "own_weight": "share of the expected figure that is the site's own record, 0 to 1",
    "trend": "factor by which tackle incidents change from year to year; empty under ten",
    "trend_low": "lower 95 % limit of the factor",
    "trend_high": "upper 95 % limit",
    "says": "how the figure was made",
}
SITES = "select site_id, years, tackle, other, first_day, last_day from mart.sites order by site_id"
DAYS = """select site_id, incident_date from mart.incidents
where is_tackle and is_compared and site_id is not null order by site_id, incident_date"""


def compute(mart):
    """One row per candidate site."""
    sites, days = mart.frame(SITES), mart.frame(DAYS)
    if sites.empty:
        return pd.DataFrame(columns=list(COLUMNS))
    expected = expected_yearly(sites["tackle"], sites["years"], seed=mart.settings["siting"].seed)
    trends = [_trend(days[days["site_id"] == site.site_id], site) for site in sites.itertuples()]
    return pd.DataFrame(
        {
            **sites[["site_id", "years", "tackle", "other"]],
            "raw": expected.raw,
            "expected": expected.shrunken,
            "low": expected.low,
            "high": expected.high,
            "own_weight": expected.own_weight,
            **{name: [getattr(trend, part) for trend in trends] for name, part in TREND.items()},
            "says": expected.says,
        }
    )[list(COLUMNS)]


TREND = {"trend": "ratio", "trend_low": "low", "trend_high": "high"}


def _trend(days, site):
    """The trend of one site; an incident found before the record began is left out of it."""
    first, last = (as_day(day) for day in (site.first_day, site.last_day))
    found = days["incident_date"].map(as_day).to_numpy(dtype=int)
    return yearly_trend(found[(found >= first) & (found <= last)], first, last)


def as_day(stamp):
    """A date as days since 1970."""
    return int(np.datetime64(stamp, "D").astype(int))
