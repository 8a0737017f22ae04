"""Hot spots: where tackle cases are a larger share of the rescues than elsewhere, beyond chance."""

import pandas as pd

from unsnag.stats.sites.scan import scan

TITLE = "Hot spots"
QUESTION = "Where does tackle injure more animals than the number of rescues there would lead one to expect?"
CAUTION = (
    "A circle that stands out says where, not why, and its edge is only roughly known. A place where nobody looks has "
    "no rescues of any kind and can never stand out."
)
CHANCE = 0.05
MOST = 10
TABLES = {
    "hot_spots": {
        "scan": "'same_groups' compares with rescues of the groups that tackle injures, 'all_rescues' with all, 'year' "
        "is same_groups in one year",
        "period": "'all' or the year of admission",
        "cluster": "the most likely first",
        "sites": "names of the candidate sites inside",
        "other_places": "further spots inside that are no candidate site",
        "council": "councils of the sites inside",
        "latitude": "of the middle, decimal degrees; exact, private",
        "longitude": "of the middle, decimal degrees; exact, private",
        "radius_m": "metres from the middle to the farthest spot inside",
        "tackle": "tackle incidents inside",
        "rescues": "incidents of all causes inside",
        "expected": "tackle incidents, had each clinic one share of tackle everywhere",
        "relative_risk": "observed over expected inside, over the same outside",
        "p_value": "share of replicates, cases dealt out by chance, whose best circle is as good",
        "is_beyond_chance": f"whether that is at most {CHANCE}",
        "clinics": "clinics that the incidents inside came to",
    },
    "hot_spot_sites": {
        "scan": "as in hot_spots",
        "period": "as in hot_spots",
        "cluster": "as in hot_spots",
        "site_id": "a candidate site inside the circle",
        "is_beyond_chance": "as in hot_spots",
    },
}
SPOTS = "select * from mart.spots order by incident_id"
SITES = "select site_id, site, council from mart.sites order by site_id"


def compute(mart):
    """A frame for each of TABLES."""
    siting, sites = mart.settings["siting"], mart.frame(SITES).set_index("site_id")
    found = []
    for name, period, spots in _scans(mart.frame(SPOTS)) if len(sites) else ():
        found += [(name, period, *each) for each in _clusters(spots, siting)]
    rows = [_row(name, period, number, part, inside, sites) for name, period, number, part, inside in found]
    members = [
        (name, period, number, site_id, part["p_value"] <= CHANCE)
        for name, period, number, part, inside in found
        for site_id in sorted(set(inside["site_id"].dropna()))
    ]
    return {
        "hot_spots": pd.DataFrame(rows, columns=list(TABLES["hot_spots"])),
        "hot_spot_sites": pd.DataFrame(members, columns=list(TABLES["hot_spot_sites"])),
    }


def _scans(spots):
    """Name, period and rows of every scan."""
    same = spots[spots["is_compared"]]
    yield "same_groups", "all", same
    yield "all_rescues", "all", spots
    for year, of_year in same.groupby("admission_year", sort=True):
        yield "year", str(year), of_year


def _clusters(spots, siting):
    """Number, figures and rows of every circle beyond chance, and of the best one whatever its p-value."""
    if not spots["is_tackle"].any() or spots["is_tackle"].all():
        return
    found = scan(
        spots["latitude"], spots["longitude"], spots["is_tackle"].astype(int), [1] * len(spots), spots["clinic"],
        seed=siting.seed, replicates=siting.replicates, clusters=MOST, workers=2,
    )  # fmt: skip
    for number, members in enumerate(found.members):
        if number and found.p_value[number] > CHANCE:
            continue
        inside = spots[pd.Series(found.place_of_row, index=spots.index).isin(members)]
        figures = {name: getattr(found, name)[number] for name in FIGURES}
        middle = {
            "latitude": found.place_latitude[found.centre[number]],
            "longitude": found.place_longitude[found.centre[number]],
        }
        yield number + 1, figures | middle, inside


FIGURES = ("radius_m", "cases", "rescues", "expected", "relative_risk", "p_value")


def _row(name, period, number, part, inside, sites):
    there = sites.loc[sorted(set(inside["site_id"].dropna()))]
    elsewhere = inside[inside["site_id"].isna()][["latitude", "longitude"]].drop_duplicates()
    return (
        name, period, number, ", ".join(there["site"]), len(elsewhere), ", ".join(sorted(set(there["council"]))),
        part["latitude"], part["longitude"], part["radius_m"], part["cases"], part["rescues"], part["expected"],
        part["relative_risk"], part["p_value"], part["p_value"] <= CHANCE, inside["clinic"].nunique(),
    )  # fmt: skip
