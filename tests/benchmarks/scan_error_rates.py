"""How often the scan cries wolf, and how often it finds a planted cluster, on invented coasts.

    PYTHONPATH=pipeline python tests/benchmarks/scan_error_rates.py [networks]

Null: no place differs from its catchment, of which three have 10, 25 and 45 cases in 100 rescues. The share of
networks with a cluster at p <= 0.05 must be about 0.05; without strata the catchments themselves are found.
Planted: the places within 8 km of one place have their case share raised by a rate ratio.

Measured with 1,000 networks: null, stratified, p <= 0.05 in 0.038 (SE 0.006) and p <= 0.50 in 0.505 (SE 0.016);
without strata in all of 50. Planted ratios 1.5, 2 and 3 found in 0.55, 0.87 and 0.995 of 200.
"""

import sys

import numpy as np
from unsnag.stats.sites.distance import distance_matrix_m
from unsnag.stats.sites.scan import scan

PLACES, RESCUES, REPLICATES = 120, 3_000, 199
SHARES = np.array([0.10, 0.25, 0.45])


def coast(rng):
    """Places of an invented coast, their rescues in each of three overlapping catchments, and distances."""
    latitude, longitude = rng.uniform(-28, -27, PLACES).round(3), 153 + rng.gamma(2, 0.05, PLACES).round(3)
    place = rng.choice(PLACES, RESCUES, p=rng.dirichlet(np.full(PLACES, 0.7)))
    catchment = np.clip(np.floor((latitude[place] + 28 + rng.normal(0, 0.1, RESCUES)) * 3), 0, 2).astype(int)
    return latitude, longitude, place, catchment


def network(rng, ratio):
    latitude, longitude, place, catchment = coast(rng)
    metres = distance_matrix_m(latitude, longitude, latitude, longitude)
    planted = metres[rng.choice(place)] <= 8_000
    chance = np.minimum(SHARES[catchment] * np.where(planted[place], ratio, 1), 0.95)
    cases = rng.random(RESCUES) < chance
    return latitude[place], longitude[place], cases, catchment, planted[place]


def trial(number, ratio, stratified=True):
    """(p of the best cluster, share of planted rescues inside it, share of its rescues that are planted)."""
    rng = np.random.default_rng([number, int(100 * ratio)])
    latitude, longitude, cases, catchment, planted = network(rng, ratio)
    stratum = catchment if stratified else None
    found = scan(
        latitude, longitude, cases, np.ones(RESCUES), stratum, seed=number, replicates=REPLICATES, clusters=1
    )
    inside = np.isin(found.place_of_row, found.members[0])
    return found.p_value[0], (inside & planted).sum() / planted.sum(), (inside & planted).sum() / inside.sum()


def share(values):
    values = np.asarray(values, dtype=float)
    return f"{values.mean():.3f} (SE {values.std() / np.sqrt(values.size):.3f})"


def null(networks, stratified):
    p_value = np.array([trial(number, 1.0, stratified)[0] for number in range(networks)])
    name = "stratified" if stratified else "without strata"
    print(
        f"null, {name}: p <= 0.05 in {share(p_value <= 0.05)}, p <= 0.50 in {share(p_value <= 0.50)}",
        flush=True,
    )


def planted(networks, ratio):
    p_value, sensitivity, precision = np.array([trial(number, ratio) for number in range(networks)]).T
    found = p_value <= 0.05
    print(
        f"planted rate ratio {ratio}: found in {share(found)}; of those found, {sensitivity[found].mean():.2f} of "
        f"the planted rescues inside, {precision[found].mean():.2f} of the rescues inside planted",
        flush=True,
    )


def main(networks):
    null(networks, stratified=True)
    null(max(networks // 20, 1), stratified=False)
    for ratio in (1.5, 2.0, 3.0):
        planted(max(networks // 5, 1), ratio)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1_000)
