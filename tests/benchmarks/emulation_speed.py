"""How long a comparison takes: 500 replicates on 5,000 eligible animals; the goal is two minutes on two cores.

PYTHONPATH=pipeline python tests/benchmarks/emulation_speed.py [eligible] [replicates] [workers]
"""

import sys
import time

from unsnag.stats.emulation.compare import compare
from unsnag.stats.emulation.person_days import person_days
from unsnag.stats.emulation.trial import prepare
from unsnag.stats.simulate import SCENARIOS, network

STRATEGIES = {
    "watch": {"kind": "watch_at_least", "days": 21},
    "early": {"kind": "retrieve_within", "days": 7},
    "on_findings": {"kind": "watch_then", "if_worse": True, "if_unmoved_at": 14, "within": 3},
}
CONFOUNDERS = ("clinic", "body_site", "severity", "taxon_group")


def main(eligible=5_000, replicates=500, workers=2):
    scenario = SCENARIOS["losses"]
    cases, events = network(scenario, eligible, seed=1)
    started = time.perf_counter()
    days = person_days(cases, events, scenario.horizon)
    trial = prepare(days, STRATEGIES, CONFOUNDERS, by="body_site")
    prepared = time.perf_counter()
    compare(trial, replicates, workers=workers)
    finished = time.perf_counter()
    print(
        f"{eligible} eligible, {days.in_care.sum()} person-days, three strategies, two sites, censoring weights,"
    )
    print(
        f"with and without truncation: {prepared - started:.1f} s to prepare, "
        f"{finished - prepared:.1f} s for {replicates} replicates with {workers} workers"
    )


if __name__ == "__main__":
    main(*(int(each) for each in sys.argv[1:]))
