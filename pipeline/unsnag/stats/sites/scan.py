"""Hot or just busy: where cases make up more of the rescues than elsewhere, beyond chance.

Comparing with other rescues at the same places takes out how many people look and report there.
"""

from typing import NamedTuple

import numpy as np

from unsnag.stats.arguments import divide
from unsnag.stats.sites.distance import distance_m
from unsnag.stats.sites.likelihood import log_likelihood_ratio
from unsnag.stats.sites.replicates import memory_bytes, replicate_maxima
from unsnag.stats.sites.zones import inside, make_zones, merge_places


class Scan(NamedTuple):
    """Clusters, the most likely first: c of them, over p distinct places."""

    centre: np.ndarray  # int (c,), the place in the middle
    radius_m: np.ndarray  # float (c,), geodesic distance of the farthest place inside
    cases: np.ndarray  # int (c,)
    rescues: np.ndarray  # int (c,)
    expected: np.ndarray  # float (c,), cases, had each stratum one share everywhere
    relative_risk: (
        np.ndarray
    )  # float (c,), observed over expected inside / the same outside; inf if none outside
    log_likelihood_ratio: np.ndarray  # float (c,)
    p_value: (
        np.ndarray
    )  # float (c,), share of replicates whose best circle is as good; nan without replicates
    members: tuple  # c int arrays, the places inside, ascending
    place_latitude: np.ndarray  # float (p,), decimal degrees
    place_longitude: np.ndarray  # float (p,), decimal degrees
    place_of_row: np.ndarray  # int (n,), the place of each input row
    replicate_maxima: np.ndarray  # float (replicates,), the best log likelihood ratio of each
    memory_bytes: int  # what the circles and one block of replicates a thread take


def scan(
    latitude,
    longitude,
    cases,
    rescues,
    stratum=None,
    *,
    seed,
    replicates=999,
    largest_share=0.5,
    radius_m=None,
    clusters=10,
    workers=1,
):
    """Circles in which cases are a larger share of rescues than outside, non-overlapping, with p-values.

    A row is one rescue (cases 0 or 1, rescues 1) or the counts of a place. One event is one rescue: a clutch, or
    a net with many animals, counts once. Replicates deal each stratum's cases out among its rescues, so a stratum
    with more cases everywhere (a clinic known for its sea turtles) is no cluster. Secondary clusters share no
    place with a better one; their p-values, against the best circle of each replicate, err on the safe side.

    Time grows with places times places a circle: with more than some 4,000 distinct places round the coordinates
    (0.01 degree) or give a radius.

    latitude, longitude : float arrays (n,), decimal degrees; equal coordinates are one place
    cases     : int array (n,), e.g. tackle cases
    rescues   : int array (n,), the cases and the other rescues of the same taxon groups
    stratum   : array (n,), e.g. the clinic catchment; None for one stratum
    seed      : int
    replicates    : int, Monte Carlo replicates; 999 give p-values down to 0.001
    largest_share : float, share of all rescues that a circle may hold
    radius_m  : float, metres, largest radius; None for no limit
    clusters  : int, most clusters to return
    workers   : int, threads; the result does not depend on it
    Returns     Scan, without clusters where cases are nowhere above what is expected
    Raises      ValueError: lengths differ, a count is not possible, or a coordinate is wrong
    Source      Kulldorff (1997), Commun Stat Theory Methods 26:1481-1496; Dwass (1957), Ann Math Stat
                28:181-187, for the Monte Carlo p-value.
    """
    if stratum is None:
        stratum = np.zeros(np.size(latitude), dtype=int)
    places = merge_places(latitude, longitude, cases, rescues, stratum)
    zones = make_zones(places.latitude, places.longitude, places.rescues, largest_share, radius_m, workers)
    maxima = replicate_maxima(places, zones, replicates, seed, workers)
    found = _best_circles(places, zones, clusters)
    ratio = np.array([circle[0] for circle in found], dtype=float)
    return Scan(
        *_described(places, [(centre, order) for _, centre, order in found]),
        ratio,
        _p_value(ratio, maxima),
        tuple(np.sort(order) for _, _, order in found),
        places.latitude,
        places.longitude,
        places.place_of_row,
        maxima,
        memory_bytes(zones, places, workers),
    )


def _best_circles(places, zones, limit):
    """(ratio, centre, places by distance) of the best circle, then of the best that shares no place with those."""
    used = np.zeros(places.cases.size, dtype=bool)
    best = [_best_circle(places, zones, centre, used) for centre in range(used.size)]
    found = []
    while best and len(found) < limit:
        ratio, size, centre = max(best, key=lambda circle: (circle[0], -circle[1], -circle[2]))
        if ratio <= 0:
            break
        found.append((ratio, centre, zones.order[centre][:size]))
        used[found[-1][2]] = True
        for other, (_, reach, _) in enumerate(best):
            if used[zones.order[other][:reach]].any():
                best[other] = _best_circle(places, zones, other, used)
    return found


def _best_circle(places, zones, centre, used):
    """(ratio, number of places, centre) of the best circle round one centre that holds no used place."""
    free = np.flatnonzero(np.append(used[zones.order[centre]], True))[0]
    if free == 0:
        return 0.0, 0, centre
    order, ends = zones.order[centre][:free], zones.ends[centre][:free]
    cases, all_counts = places.cases[order].cumsum(), (places.cases.sum(), places.rescues.sum())
    ratio = np.where(ends, log_likelihood_ratio(cases, *inside(places, order), *all_counts), 0.0)
    return float(ratio.max()), int(ratio.argmax()) + 1, centre


def _described(places, found):
    """Centre, radius, cases, rescues, expected cases and relative risk of each circle found."""
    centre = np.array([centre for centre, _ in found], dtype=int)
    farthest = np.array([order[-1] for _, order in found], dtype=int)
    radius = distance_m(
        *(places.latitude[centre], places.longitude[centre]),
        *(places.latitude[farthest], places.longitude[farthest]),
    )
    counts = (places.cases, places.rescues, places.expected)
    cases, rescues, expected = (
        np.array([count[order].sum() for _, order in found], dtype=count.dtype) for count in counts
    )
    outside = divide(places.cases.sum() - cases, places.cases.sum() - expected)
    relative_risk = np.where(outside == 0, np.inf, divide(divide(cases, expected), outside))
    return centre, radius, cases, rescues, expected, relative_risk


def _p_value(ratio, maxima):
    if not maxima.size:
        return np.full(ratio.size, np.nan)
    # Equal ratios of different circles may differ in the last bits.
    as_good = (maxima >= ratio[:, None] - 1e-9).sum(axis=1)
    return (as_good + 1) / (maxima.size + 1)
