"""The circles that a spatial scan looks at: each place with its neighbours, nearest first."""

from concurrent.futures import ThreadPoolExecutor
from typing import NamedTuple

import numpy as np

from unsnag.stats.sites.counts import as_whole_counts
from unsnag.stats.sites.distance import WGS84, check_coordinates, geocentric_m


class Places(NamedTuple):
    """Distinct places, p of them, in ascending latitude, then longitude."""

    latitude: np.ndarray  # float (p,), decimal degrees
    longitude: np.ndarray  # float (p,), decimal degrees
    cases: np.ndarray  # int (p,)
    rescues: np.ndarray  # int (p,), cases and the others
    expected: np.ndarray  # float (p,), cases, had each stratum one share of cases everywhere
    strata: tuple  # one (places, rescues there, cases in all) a stratum: what a replicate deals out again
    place_of_row: np.ndarray  # int (n,), the place of each input row


class Zones(NamedTuple):
    """Circles round p centres: a circle is the first k + 1 places of ``order[centre]``, if ``ends[centre][k]``."""

    order: list  # p int arrays, places by distance, the centre first
    ends: list  # p bool arrays, False between places at one distance: a circle holds both or neither


def merge_places(latitude, longitude, cases, rescues, stratum):
    """Rows at one coordinate become one place, with the cases expected there under each stratum's own share.

    latitude, longitude : float arrays (n,), decimal degrees
    cases     : int array (n,), 0 <= cases <= rescues
    rescues   : int array (n,)
    stratum   : array (n,), what the row belongs to
    Returns     Places
    Raises      ValueError: lengths differ, a count is not whole or exceeds its total, or a coordinate is wrong
    """
    latitude, longitude = check_coordinates(latitude, longitude)
    cases, rescues = as_whole_counts(cases=cases, rescues=rescues)
    if (cases > rescues).any():
        raise ValueError(
            f"{(cases > rescues).sum()} rows have more cases than rescues: rescues include the cases"
        )
    stratum = np.unique(stratum, return_inverse=True)[1].reshape(-1)
    if not latitude.size == cases.size == stratum.size:
        raise ValueError(
            f"lengths differ: {latitude.size} places, {cases.size} counts, {stratum.size} strata"
        )
    place, place_of_row = np.unique(np.column_stack([latitude, longitude]), axis=0, return_inverse=True)
    place_of_row = place_of_row.reshape(-1)
    strata = tuple(_strata(place_of_row, cases, rescues, stratum))
    expected = np.zeros(len(place))
    for where, there, total in strata:
        expected[where] += there * (total / there.sum())
    cases, rescues = (_sums(place_of_row, counts, len(place)) for counts in (cases, rescues))
    return Places(place[:, 0], place[:, 1], cases, rescues, expected, strata, place_of_row)


def _strata(place_of_row, cases, rescues, stratum):
    for one in range(stratum.max(initial=-1) + 1):
        rows = stratum == one
        there = _sums(place_of_row[rows], rescues[rows], 0)
        where = np.flatnonzero(there)
        if where.size:
            yield where, there[where], int(cases[rows].sum())


def _sums(place_of_row, counts, places):
    return np.bincount(place_of_row, counts, places).astype(np.int64)


def make_zones(latitude, longitude, rescues, largest_share=0.5, radius_m=None, workers=1):
    """Circles round every place, up to a share of all rescues and, if given, a radius.

    latitude, longitude : float arrays (p,), decimal degrees, distinct places
    rescues   : int array (p,)
    largest_share : float, 0 to 1, share of all rescues that a circle may hold
    radius_m  : float, metres, largest radius; None for no limit
    workers   : int, threads
    Returns     Zones; a place with more than the largest share is the centre of no circle
    Raises      ValueError: a coordinate is wrong, or the share or the radius makes no sense
    Source      Kulldorff (1997), Commun Stat Theory Methods 26:1481-1496: circles up to half the population.
    """
    if not 0 < largest_share <= 1 or not (radius_m is None or radius_m > 0):
        raise ValueError(
            f"largest_share is {largest_share} (above 0, to 1), radius_m {radius_m} (above 0, or None)"
        )
    latitude, longitude = check_coordinates(latitude, longitude)
    space = geocentric_m(latitude, longitude)
    most = largest_share * rescues.sum()

    def circles_round(centre):
        near = _candidates(space, centre, rescues, most, radius_m)
        start = (np.full(near.size, axis[centre]) for axis in (longitude, latitude))
        metres = WGS84.inv(*start, longitude[near], latitude[near])[2].round(3)
        by_distance = np.argsort(metres, kind="stable")
        order, metres = near[by_distance], metres[by_distance]
        ends = np.append(metres[1:] > metres[:-1], True) & (rescues[order].cumsum() <= most)
        if radius_m is not None:
            ends &= metres <= radius_m
        longest = np.flatnonzero(ends).max(initial=-1) + 1
        return order[:longest].astype(np.int32), ends[:longest]

    with ThreadPoolExecutor(workers) as threads:
        circles = list(threads.map(circles_round, range(latitude.size)))
    return Zones([order for order, _ in circles], [ends for _, ends in circles])


def _candidates(space, centre, rescues, most, radius_m):
    """Places that a circle may reach, by the straight line: it ranks places as the geodesic does to 1 in 1,000."""
    line = np.sqrt(((space - space[centre]) ** 2).sum(axis=1))
    nearest = np.argsort(line, kind="stable")
    enough = np.searchsorted(rescues[nearest].cumsum(), most, side="right")
    reach = line[nearest[min(enough, nearest.size - 1)]] * 1.001 + 0.01
    if radius_m is not None:
        reach = min(reach, radius_m + 0.01)
    return np.flatnonzero(line <= reach)


def inside(places, order):
    """Rescues and expected cases in each circle round one centre, two arrays as long as ``order``."""
    return places.rescues[order].cumsum(), places.expected[order].cumsum()
