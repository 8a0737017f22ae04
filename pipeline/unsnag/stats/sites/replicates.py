"""What chance alone would give: cases dealt out again among the rescues, and the best circle each time."""

from concurrent.futures import ThreadPoolExecutor

import numpy as np

from unsnag.stats.sites.likelihood import critical_cases, log_likelihood_ratio
from unsnag.stats.sites.zones import inside

# A fixed size, so that the draws do not depend on the number of threads; few enough columns to stay in cache.
REPLICATES_A_BLOCK = 256
SLAB = 16
# Nearly every replicate of a real network reaches the first; the last takes the rest.
FLOORS = (4.0, 1.0, 1e-9)


def replicate_maxima(places, zones, replicates, seed, workers=1):
    """Best log likelihood ratio over all circles in each replicate.

    Each stratum's cases are dealt out among its rescues (multivariate hypergeometric). The best ratio is exact.

    places    : Places
    zones     : Zones
    replicates : int, >= 0
    seed      : int
    workers   : int, threads; the result does not depend on it
    Returns     float array (replicates,), >= 0
    Raises      ValueError: replicates is negative
    Source      Kulldorff (1997), Commun Stat Theory Methods 26:1481-1496.
    """
    if replicates < 0:
        raise ValueError(f"replicates is {replicates}: it must be 0 or more")
    sizes = [
        min(REPLICATES_A_BLOCK, replicates - start) for start in range(0, replicates, REPLICATES_A_BLOCK)
    ]
    seeds = np.random.SeedSequence(seed).spawn(len(sizes))
    critical = _critical(places, zones, FLOORS[0], workers)

    def block(size, own_seed):
        dealt = deal_out(places, size, np.random.default_rng(own_seed))
        return best_ratios(places, zones, dealt, critical)

    with ThreadPoolExecutor(workers) as threads:
        return np.concatenate([np.empty(0), *threads.map(block, sizes, seeds)])


def deal_out(places, size, rng):
    """Cases at each place in each of ``size`` replicates, int array (p, size), as small a type as holds them."""
    dealt = np.zeros((places.cases.size, size), dtype=_count_type(places))
    for where, there, total in places.strata:
        draw = rng.multivariate_hypergeometric(there, total, size=size, method="marginals")
        dealt[where] += draw.T.astype(dealt.dtype)
    return dealt


def _count_type(places):
    return np.min_scalar_type(places.cases.sum() + 1)


def _critical(places, zones, floor, workers):
    beyond = places.cases.sum() + 1

    def one(order, ends):
        enough = critical_cases(*inside(places, order), places.cases.sum(), places.rescues.sum(), floor)
        return np.where(ends, enough, beyond).astype(_count_type(places))

    with ThreadPoolExecutor(workers) as threads:
        return list(threads.map(one, zones.order, zones.ends))


def best_ratios(places, zones, dealt, critical, lower_floors=FLOORS[1:]):
    """Best ratio of each replicate: a replicate that no circle lifts to the floor is looked at again, lower.

    Only where a whole number passes its critical count is a logarithm taken: one circle in some hundred.
    """
    best = np.zeros(dealt.shape[1])
    for order, enough in zip(zones.order, critical, strict=True):
        cases = running_totals(dealt, order)
        circle, replicate = np.divmod(np.flatnonzero(cases >= enough[:, None]), best.size)
        if circle.size:
            rescues, expected = (counts[circle] for counts in inside(places, order))
            all_counts = places.cases.sum(), places.rescues.sum()
            ratio = log_likelihood_ratio(cases[circle, replicate], rescues, expected, *all_counts)
            np.maximum.at(best, replicate, ratio)
    low = np.flatnonzero(best == 0)
    if low.size and lower_floors:
        critical = _critical(places, zones, lower_floors[0], 1)
        best[low] = best_ratios(places, zones, dealt[:, low], critical, lower_floors[1:])
    return best


def running_totals(counts, order):
    """``counts[order].cumsum(axis=0)``, twice as fast: whole slabs of rows are added at once."""
    slabs = -(-order.size // SLAB)
    totals = np.zeros((slabs * SLAB, counts.shape[1]), dtype=counts.dtype)
    np.take(counts, order, axis=0, out=totals[: order.size], mode="clip")
    slab = totals.reshape(slabs, SLAB, counts.shape[1])
    for row in range(1, SLAB):
        slab[:, row] += slab[:, row - 1]
    for one in range(1, slabs):
        slab[one] += slab[one - 1, -1]
    return totals[: order.size]


def memory_bytes(zones, places, workers=1):
    """Bytes that the circles and one block of replicates a thread take, int."""
    circles = sum(order.nbytes + ends.nbytes for order, ends in zip(zones.order, zones.ends, strict=True))
    count = _count_type(places).itemsize
    critical = sum(order.size for order in zones.order) * count
    longest = max((order.size for order in zones.order), default=0)
    block = places.cases.size * (count + np.dtype(np.int64).itemsize) + longest * (count + 1)
    return circles + critical + workers * REPLICATES_A_BLOCK * block
