"""How long a comparison takes: 500 replicates on 5,000 eligible animals; the goal is two minutes on two cores.

PYTHONPATH=pipeline OPENBLAS_NUM_THREADS=1 python tests/benchmarks/emulation_speed.py [eligible] [replicates] [workers]

On a machine that others use as well the processor's seconds tell more than the clock's: two cores have 240 of them in
two minutes.
"""

import resource
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


def processor_seconds():
    """Of this process and of the workers that it has waited for."""
    used = (resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return sum(each.ru_utime + each.ru_stime for each in used)


def main(eligible=5_000, replicates=500, workers=2):
    scenario = SCENARIOS["losses"]
    cases, events = network(scenario, eligible, seed=1)
    started, before = time.perf_counter(), processor_seconds()
    days = person_days(cases, events, scenario.horizon)
    trial = prepare(days, STRATEGIES, CONFOUNDERS, by="body_site")
    compare(trial, replicates, workers=workers)
    clock, processor = time.perf_counter() - started, processor_seconds() - before
    print(
        f"{eligible} eligible, {days.in_care.sum()} person-days, three strategies, two sites, censoring weights, with "
        f"and without truncation, {replicates} replicates with {workers} workers: {clock:.0f} s by the clock, "
        f"{processor:.0f} s of processors"
    )


if __name__ == "__main__":
    main(*(int(each) for each in sys.argv[1:]))
