"""Coverage of the planned comparisons on fresh networks from the demo's maker, other seeds than the demo's.

    PYTHONPATH=pipeline python tests/benchmarks/demo_effects.py [--networks 20] [--first 1000] [--cases 1800]

Each network is made, built as any workspace, and asked every planned question; the truth is what its maker finds by
simulating its own animals under each strategy. So this proves the whole way, from exports in five layouts to the
interval. One line of CSV per network and contrast, then the share of intervals that hold the truth.
"""

import argparse
import sys
import tempfile
import tomllib
from pathlib import Path

DEMO = Path(__file__).resolve().parents[2] / "data_demo"
sys.path[:0] = [str(DEMO), str(DEMO.parent / "tests")]

from maker import draws, make  # noqa: E402
from unsnag import analyse, store  # noqa: E402
from unsnag.analyses import effects  # noqa: E402
from unsnag.databases import reading  # noqa: E402
from unsnag.workspace import load  # noqa: E402

OUTCOMES = ("released", "died_or_euthanased")


def one_network(seed, cases, folder):
    """Rows (question, strategy, outcome, truth, low, high, verdict) of one fresh network, in points."""
    draws.SEED = seed
    make.make(cases, folder)
    workspace = load(folder)
    store.build(workspace, lambda what: None)
    with reading(workspace.store) as connection:
        found = effects.compute(analyse.Mart(connection, {"questions": workspace.questions}))["effects"]
    planted = tomllib.loads((folder / "truth" / "effects.toml").read_text(encoding="utf-8"))["effect"]
    true = {(each["question"], each["strategy"]): each for each in planted if each["group"] == "all"}
    found = found[(found["effect_by"] == "all") & found["measure"].isin(OUTCOMES)]
    for row in found.itertuples():
        first, later = (true[row.question, name][row.measure] for name in (row.reference, row.strategy))
        yield row.question, row.strategy, row.measure, 100 * (later - first), row.low, row.high, row.verdict


def main():
    options = argparse.ArgumentParser()
    options.add_argument("--networks", type=int, default=20)
    options.add_argument("--first", type=int, default=1000)
    options.add_argument("--cases", type=int, default=1800)
    chosen = options.parse_args()
    held = []
    print("seed,question,strategy,outcome,truth,low,high,holds,verdict")
    for seed in range(chosen.first, chosen.first + chosen.networks):
        with tempfile.TemporaryDirectory() as folder:
            for *names, truth, low, high, verdict in one_network(seed, chosen.cases, Path(folder)):
                answered = low == low
                holds = low <= truth <= high
                held += [(holds, verdict)] if answered else []
                figures = f"{truth:.1f},{low:.1f},{high:.1f},{holds if answered else ''}"
                print(seed, *names, figures, verdict, sep=",", flush=True)
    told = [holds for holds, verdict in held if verdict != "too few to tell"]
    print(f"intervals: {len(held)}, hold the truth: {sum(holds for holds, _ in held)}")
    print(f"of those not too few to tell: {len(told)}, hold the truth: {sum(told)}")


if __name__ == "__main__":
    main()
