"""How long do incidence, time lost and Gray's test take as cases grow?

    PYTHONPATH=pipeline python tests/benchmarks/incidence_speed.py

Counting grows with cases; everything after it only with days x groups.
"""

import time

import numpy as np
from unsnag.stats.gray import gray_score
from unsnag.stats.incidence import incidence_from_counts
from unsnag.stats.risk_counts import risk_counts
from unsnag.stats.time_lost import time_lost

CAUSES = ("released", "died", "euthanased")


def milliseconds(compute):
    """The shortest of three runs, and what was computed."""
    best, answer = np.inf, None
    for _ in range(3):
        start = time.perf_counter()
        answer = compute()
        best = min(best, time.perf_counter() - start)
    return 1000 * best, answer


def main():
    random = np.random.default_rng(20240701)
    print(f"{'cases':>9} {'groups':>6} {'days':>5} {'count':>8} {'curves':>8} {'lost':>8} {'Gray':>8}   (ms)")
    for cases in (2_000, 20_000, 200_000, 2_000_000):
        for groups in (5, 50):
            stay = np.minimum(random.exponential(30, cases).astype(int), 364)
            ending = random.choice([*CAUSES, ""], cases, p=[0.55, 0.15, 0.2, 0.1])
            group = random.integers(0, groups, cases)
            count, counts = milliseconds(lambda s=stay, e=ending, g=group: risk_counts(s, e, CAUSES, g))
            data = counts.days, counts.at_risk, counts.events
            curves, _ = milliseconds(lambda d=data: incidence_from_counts(*d))
            lost, _ = milliseconds(lambda d=data: time_lost(*d, 180))
            gray, _ = milliseconds(lambda c=counts: gray_score(c, 0))
            row = f"{count:8.1f} {curves:8.1f} {lost:8.1f} {gray:8.1f}"
            print(f"{cases:9,} {groups:6} {len(counts.days):5} {row}")


if __name__ == "__main__":
    main()
