"""Time and memory of the scan at 100,000 rescues and 999 replicates, on an invented coast.

PYTHONPATH=pipeline python tests/benchmarks/scan_speed.py [places ...]

Measured on two cores shared with other work, circles up to half the rescues: 472 places 2.7 s of processor, 1,791
places 11.6 s, 3,431 places 31.6 s (55 to 79 s by the clock); 3, 21 and 59 MiB told, 193 MiB the whole process at most.
"""

import resource
import sys
import time

import numpy as np
from unsnag.stats.sites.scan import scan

RESCUES, REPLICATES, WORKERS = 100_000, 999, 2


def coast(places, seed):
    """Rescues at places of an invented coast of 300 km, five catchments with their own share of tackle cases."""
    rng = np.random.default_rng(seed)
    latitude, longitude = rng.uniform(-30, -27, places).round(3), 153 + rng.gamma(2, 0.1, places).round(3)
    place = rng.choice(places, RESCUES, p=rng.dirichlet(np.full(places, 0.5)))
    catchment = ((latitude[place] + 30) * 5 / 3).astype(int)
    cases = rng.random(RESCUES) < np.array([0.10, 0.20, 0.30, 0.15, 0.25])[catchment]
    return latitude[place], longitude[place], cases, catchment


def measure(places, radius_m):
    latitude, longitude, cases, catchment = coast(places, seed=1)
    wall, used = time.perf_counter(), time.process_time()
    found = scan(
        latitude, longitude, cases, np.ones(RESCUES), catchment, seed=1, replicates=REPLICATES, radius_m=radius_m,
        workers=WORKERS,
    )  # fmt: skip
    wall, used = time.perf_counter() - wall, time.process_time() - used
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    limit = "half the rescues" if radius_m is None else f"{radius_m / 1000:.0f} km"
    print(
        f"{found.place_latitude.size:5d} places, circles to {limit}: {wall:.1f} s ({used:.1f} s of processor), "
        f"{found.memory_bytes / 2**20:.0f} MiB told, {peak:.0f} MiB peak of the process",
        flush=True,
    )


if __name__ == "__main__":
    for size in [int(argument) for argument in sys.argv[1:]] or [500, 2_000, 4_000]:
        for radius in (50_000, None):
            measure(size, radius)
