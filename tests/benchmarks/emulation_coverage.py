"""Bias and coverage of the emulated trial on invented networks whose truth is known.

    PYTHONPATH=pipeline OPENBLAS_NUM_THREADS=1 python tests/benchmarks/emulation_coverage.py \
        [--scenario benefit ...] [--eligible 400 ...] [--networks 2000] [--replicates 300] [--workers 2] [--kept FILE]

With --kept each network's figures are added to a file as they come, and networks that stand in it are not run again:
a long proof can be made in pieces. Two thousand networks of 400 animals take about half an hour of one core a scenario.

One line of CSV per scenario, size, strategy and outcome: truth, bias with its Monte-Carlo error, spread, coverage of
the 95 % intervals with its Monte-Carlo error, then the share of networks without limits and of those that pass the
verdict's floors and its rule of support, coverage among these, and the bias of the naive contrast and of the
published single weight. All but the counts are animals, or networks, in 100. The truth is conditional on the clinics,
which are the same in every network of a scenario.
"""

import argparse
import json
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path

import numpy as np
from unsnag.stats import simulate
from unsnag.stats.emulation.bootstrap import case_counts, percentile_interval, replicate
from unsnag.stats.emulation.compare import effective_sizes
from unsnag.stats.emulation.facts import events_seen, support_facts, weight_facts
from unsnag.stats.emulation.naive import ever_never, single_weight
from unsnag.stats.emulation.person_days import person_days
from unsnag.stats.emulation.positivity import hardly_followed
from unsnag.stats.emulation.trial import estimate, final_weights, prepare
from unsnag.stats.emulation.verdict import FLOORS, HARDLY_FOLLOWED

STRATEGIES = {
    "watch": {"kind": "watch_at_least", "days": 21},
    "early": {"kind": "retrieve_within", "days": 7},
    "on_findings": {"kind": "watch_then", "if_worse": True, "if_unmoved_at": 14, "within": 3},
}
LATER = list(STRATEGIES)[1:]
OUTCOMES = ("released", "died_or_euthanased")
CONFOUNDERS = ("clinic", "body_site", "severity", "taxon_group")
COLUMNS = (
    "scenario,eligible,strategy,outcome,networks,truth,bias,bias_error,spread,coverage,coverage_error,"
    "unanswered,pass_floors,coverage_of_passed,naive_bias,single_weight_bias"
)


def one_network(number, scenario, eligible, replicates):
    """Per later strategy and outcome: difference, low, high, passes the floors; then naive and single-weight ones."""
    cases, events = simulate.network(scenario, eligible, seed=[number, eligible])
    days = person_days(cases, events, scenario.horizon)
    trial = prepare(days, STRATEGIES, CONFOUNDERS)
    whole = partial(estimate, trial, quantiles=(1.0,))
    draws = differences(replicate(whole, case_counts(cases["clinic"], replicates, seed=number)))
    sizes = effective_sizes(trial)[0]
    low, high = percentile_interval(draws, effective_size=np.minimum(sizes[1:], sizes[0])[:, None])
    result = np.stack([differences(whole()), low, high, floors_passed(trial)], axis=-1)
    contrast = ever_never(days)["difference"]
    shortcut = single_weight(days, 7, CONFOUNDERS) - whole()[0, 0, 0]
    return result, contrast[:2], shortcut[:2]


def differences(values):
    """Later strategies minus the first, both outcomes: (..., strategies, measures) of everyone, untruncated."""
    values = values[..., 0, 0, :, :2]
    return values[..., 1:, :] - values[..., :1, :]


def floors_passed(trial):
    weights, everyone = list(final_weights(trial).values()), trial.members[0]
    passed = np.empty((len(LATER), len(OUTCOMES)))
    hardly = [hardly_followed(trial, each, everyone) for each in trial.strategies]
    for place, weight in enumerate(weights[1:], 1):
        pair = [weights[0], weight]
        facts = support_facts(trial, pair, everyone) | weight_facts(trial, pair, everyone)
        for column, outcome in enumerate(OUTCOMES):
            facts["events"] = events_seen(trial, pair, everyone, outcome)
            enough = all(facts[name] >= floor for name, floor in FLOORS.items())
            passed[place - 1, column] = enough and max(hardly[0], hardly[place]) <= HARDLY_FOLLOWED
    return passed


class Kept:
    """Figures of networks by scenario, size and number: in memory, and in a file of JSON Lines if there is one."""

    def __init__(self, path):
        self.file, self.figures = None, {}
        if path:
            self.file = path.open("a+", encoding="utf-8")
            self.file.seek(0)
            self.figures = {tuple(key): figures for key, figures in map(json.loads, self.file)}

    def add(self, key, figures):
        self.figures[key] = [part.tolist() for part in figures]
        if self.file:
            print(json.dumps([key, self.figures[key]]), file=self.file, flush=True)

    def arrays(self, scenario, eligible, replicates, networks):
        """Results (m, strategies, outcomes, 4), naive and shortcut (m, outcomes) of the networks that are there."""
        keys = [(scenario, eligible, replicates, number) for number in range(networks)]
        found = [self.figures[key] for key in keys if key in self.figures]
        return [np.array(part, dtype=float) for part in zip(*found, strict=True)]


def run(kept, name, eligible, replicates, networks, workers):
    """Add the networks that are not there yet."""
    missing = [each for each in range(networks) if (name, eligible, replicates, each) not in kept.figures]
    one = partial(one_network, scenario=simulate.SCENARIOS[name], eligible=eligible, replicates=replicates)
    with ProcessPoolExecutor(workers) as pool:
        for number, figures in zip(missing, pool.map(one, missing, chunksize=4), strict=True):
            kept.add((name, eligible, replicates, number), figures)


def summary(truth, results, naive, shortcut):
    """Rows of figures per later strategy and outcome."""
    value, low, high, passed = np.moveaxis(results, -1, 0)
    count = len(value)
    answered = ~np.isnan(low)
    for place, strategy in enumerate(LATER):
        for column, outcome in enumerate(OUTCOMES):
            at = (slice(None), place, column)
            true, kept = truth[place, column], answered[at]
            covered = ((low[at] <= true) & (true <= high[at]))[kept]
            passing = passed[at][kept] == 1
            spread = np.nanstd(value[at])
            yield (
                strategy,
                outcome,
                [
                    100 * true,
                    100 * (np.nanmean(value[at]) - true),
                    100 * spread / np.sqrt(count),
                    100 * spread,
                    100 * covered.mean(),
                    100 * np.sqrt(covered.mean() * (1 - covered.mean()) / len(covered)),
                    100 * (1 - kept.mean()),
                    100 * passing.mean(),
                    100 * covered[passing].mean() if passing.any() else np.nan,
                    100 * (naive[:, column].mean() - true),
                    100 * (shortcut[:, column].mean() - true) if strategy == "early" else np.nan,
                ],
            )


def main():
    options = argparse.ArgumentParser()
    options.add_argument("--scenario", nargs="+", default=list(simulate.SCENARIOS))
    options.add_argument("--eligible", nargs="+", type=int, default=[100, 400, 2000])
    options.add_argument("--networks", type=int, default=2000)
    options.add_argument("--replicates", type=int, default=300)
    options.add_argument("--workers", type=int, default=2)
    options.add_argument("--kept", type=Path)
    chosen = options.parse_args()
    kept = Kept(chosen.kept)
    print(COLUMNS)
    for name in chosen.scenario:
        truth = simulate.truth(simulate.SCENARIOS[name], STRATEGIES, seed=1, count=200_000)[0, :, :2]
        for eligible in chosen.eligible:
            run(kept, name, eligible, chosen.replicates, chosen.networks, chosen.workers)
            arrays = kept.arrays(name, eligible, chosen.replicates, chosen.networks)
            for strategy, outcome, figures in summary(truth[1:] - truth[:1], *arrays):
                head = [name, eligible, strategy, outcome, len(arrays[0])]
                print(*head, *(f"{figure:.2f}" for figure in figures), sep=",", flush=True)


if __name__ == "__main__":
    main()
