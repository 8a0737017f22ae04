"""Where more bins would reach most tackle cases, and what one more is expected to prevent."""

from typing import NamedTuple

import numpy as np
import pandas as pd

from unsnag.stats.sites.covering import Rules, maximal_covering, siting_rules, too_close
from unsnag.stats.sites.expected import expected_yearly
from unsnag.stats.sites.prevented import prevented_yearly
from unsnag.stats.sites.stability import stability

TITLE = "Where to put bins"
QUESTION = "Which sites would so many more bins reach most tackle cases from, and what would each prevent?"
CAUTION = (
    "What a bin prevents is an assumption, stated with its range; it is not measured here. Access, safety and heritage "
    "are for the council to check."
)
NETWORK = "all councils"
DRAWS, RECORDS = 2000, 100
TABLES = {
    "bin_sets": {
        "area": f"a council, or '{NETWORK}'",
        "bins": "new bins at most",
        "is_feasible": "whether so few can keep the rules",
        "covered_percent": "share of the area's expected cases that these and the standing bins reach",
        "covered_low": "lower 95 % limit over other such records",
        "covered_high": "upper 95 % limit",
        "standing_percent": "share that the standing bins reach already",
        "sites": "names of the sites taken",
    },
    "bin_siting": {
        "area": f"a council, or '{NETWORK}'",
        "site_id": "the candidate site",
        "bar": "why no new bin may stand there; empty for a candidate",
        "within_reach": "tackle cases a year that a bin there would newly reach",
        "within_low": "lower 95 % limit",
        "within_high": "upper 95 % limit",
        "prevented": "cases a year that it prevents at the assumed reduction",
        "prevented_low": "at the low reduction, lower limit of the cases",
        "prevented_high": "at the high reduction, upper limit of the cases",
        "rank": "by cases newly reached, within the area",
        "taken_from": "fewest new bins at which the best set holds it; empty if none does",
    },
    "bin_choices": {
        "area": f"a council, or '{NETWORK}'",
        "bins": "new bins at most",
        "site_id": "the candidate site",
        "is_chosen": "whether the best set holds it",
        "chosen_in_100": "in how many of 100 records, such as might have been, the best set holds it",
    },
}
SITES = "select * from mart.sites order by site_id"
# Incidents that the same sites reach are one place of demand; the nearest site's expected cases are shared out by them.
REACH = """
select incidents.site_id as nearest, list_sort(list(distinct pairs.site_id)) as reached, incidents.incident_id
from mart.incidents as incidents
inner join place.point_sites as pairs on incidents.latitude = pairs.latitude and incidents.longitude = pairs.longitude
where incidents.is_tackle and incidents.is_compared and incidents.site_id is not null
group by incidents.incident_id, incidents.site_id
"""
DEMAND = f"select nearest, reached, count(*)::bigint as incidents from ({REACH}) group by all order by all"


class Demand(NamedTuple):
    """Where cases are to be expected, d places, and which of s sites reach each."""

    weight: np.ndarray  # float (d,), expected yearly cases
    draws: np.ndarray  # float (2000, d), as other records might have had them
    covers: np.ndarray  # bool (d, s)
    site: np.ndarray  # int (d,), the nearest site


def compute(mart):
    """A frame for each of TABLES."""
    sites, siting = mart.frame(SITES), mart.settings["siting"]
    if sites.empty or not sites["tackle"].any():
        return {name: pd.DataFrame(columns=list(columns)) for name, columns in TABLES.items()}
    demand = demand_of(sites, mart.frame(DEMAND), siting.seed)
    parts = [_area(area, sites, demand, siting) for area in [NETWORK, *sorted(set(sites["council"]))]]
    frames = {name: pd.concat([part[name] for part in parts], ignore_index=True) for name in TABLES}
    return {name: frames[name][list(columns)] for name, columns in TABLES.items()}


def demand_of(sites, groups, seed):
    """Demand: each site's expected yearly cases, shared out among the groups of incidents that it is nearest to."""
    place = {site_id: number for number, site_id in enumerate(sites["site_id"])}
    expected = expected_yearly(sites["tackle"], sites["years"], seed=seed, draws=DRAWS)
    silent = [
        [site_id, [site_id], 1] for site_id in sites["site_id"] if site_id not in set(groups["nearest"])
    ]
    rows = [*groups.itertuples(index=False, name=None), *silent]
    site = np.array([place[nearest] for nearest, *_ in rows])
    share = np.array([incidents for *_, incidents in rows], dtype=float)
    share /= np.bincount(site, share)[site]
    covers = np.zeros((len(rows), len(sites)), dtype=bool)
    for row, (_, reached, _) in enumerate(rows):
        covers[row, [place[site_id] for site_id in reached]] = True
    return Demand(expected.shrunken[site] * share, expected.draws[:, site] * share, covers, site)


def _area(area, sites, demand, siting):
    """The tables of one council, or of all."""
    inside = np.ones(len(sites), dtype=bool) if area == NETWORK else (sites["council"] == area).to_numpy()
    here = inside[demand.site]
    own = sites[inside].reset_index(drop=True)
    part = Demand(
        demand.weight[here], demand.draws[:, here], demand.covers[here][:, inside], demand.site[here]
    )
    standing = demand.covers[here][:, sites["has_bin"].to_numpy()].any(axis=1)
    bars, rules = _rules(area, own, sites, siting)
    free = int((bars == "").sum())
    tables = {
        "bin_siting": _one_more(own, part, standing, bars, siting),
        "bin_sets": pd.DataFrame(columns=list(TABLES["bin_sets"])),
        "bin_choices": pd.DataFrame(columns=list(TABLES["bin_choices"])),
    }
    if free and part.weight.sum() > 0:
        best = maximal_covering(
            part.weight, part.covers, min(siting.most_bins, free), standing=standing, rules=rules
        )
        tables |= _sets(own, part, standing, rules, best)
        tables["bin_siting"]["taken_from"] = _first_taken(best)
    return {name: frame.assign(area=area) for name, frame in tables.items()}


def _rules(area, own, sites, siting) -> tuple[np.ndarray, Rules]:
    """Why each site of the area may have no new bin ("" if it may), and the rules of a set."""
    bins = sites[sites["has_bin"]]
    points = (own["latitude"], own["longitude"])
    pairs, beside = too_close(*points, bins["latitude"], bins["longitude"], siting.apart_m)
    bars = np.where(beside, f"within {siting.apart_m:g} m of a bin", "")
    bars = np.where(own["has_bin"], "has a bin", bars).astype(object)
    bars = np.where(own["excluded_because"].notna(), own["excluded_because"], bars)
    free = set(own["council"][bars == ""])
    minimum = {name: least for name, least in siting.minimum.items() if area == NETWORK and name in free}
    council = own["council"].to_numpy()
    return bars, siting_rules(len(own), excluded=bars != "", apart=pairs, council=council, minimum=minimum)


def _one_more(own, part, standing, bars, siting):
    """What one more bin at each site would newly reach, and prevent under the assumed reduction and its range."""
    reduction = siting.reduction
    found = {
        share: prevented_yearly(
            part.draws, part.covers, np.log(max(1 - share, 1e-9)), 0.0, 1, standing=standing, seed=siting.seed
        )
        for share in {1.0, reduction.assumed, reduction.low, reduction.high}
    }
    within = found[1.0]
    rank = pd.Series(np.where(bars == "", within.within_reach, np.nan)).rank(ascending=False, method="first")
    return pd.DataFrame(
        {
            "site_id": own["site_id"],
            "bar": bars,
            "within_reach": within.within_reach,
            "within_low": within.low,
            "within_high": within.high,
            "prevented": found[reduction.assumed].middle,
            "prevented_low": found[reduction.low].low,
            "prevented_high": found[reduction.high].high,
            "rank": rank.astype("Int64"),
            "taken_from": pd.array([None] * len(own), dtype="Int64"),
        }
    )


def _first_taken(best):
    first = best.bins[best.chosen.argmax(axis=0)]
    return pd.Series(np.where(best.chosen.any(axis=0), first, np.nan)).astype("Int64")


def _sets(own, part, standing, rules, best):
    sets, choices = [], []
    for bins, chosen, covered, feasible in zip(
        best.bins, best.chosen, best.covered, best.is_feasible, strict=True
    ):
        names = ", ".join(own["site"][chosen])
        again = None
        if feasible and chosen.any():
            again = stability(part.draws[:RECORDS], part.covers, chosen, standing=standing, rules=rules)
        limits = (100 * again.covered_low, 100 * again.covered_high) if again else (np.nan, np.nan)
        share = 100 * covered / best.total
        sets.append((bins, feasible, share, *limits, 100 * best.standing / best.total, names))
        times = np.full(len(own), np.nan) if again is None else 100 * again.chosen_again
        choices.append(
            own[["site_id"]].assign(bins=bins, is_chosen=chosen, chosen_in_100=times)[(rules.is_allowed)]
        )
    columns = [name for name in TABLES["bin_sets"] if name != "area"]
    return {
        "bin_sets": pd.DataFrame(sets, columns=columns),
        "bin_choices": pd.concat(choices, ignore_index=True),
    }
