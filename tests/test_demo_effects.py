"""The demo's planned comparisons beside the truth hidden in it: a smoke test, and no proof of coverage.

The demo's seed was chosen after looking at what its few animals show (data_demo/maker/draws.py), so an interval that
holds the truth here proves little. Coverage is proved on networks that nobody has chosen: in
tests/benchmarks/emulation_coverage.py, and in tests/benchmarks/demo_effects.py on fresh ones from the demo's maker.
"""

from functools import partial

import demo_exports
import pytest
from unsnag import analyse, resources
from unsnag.analyses.effects.selection import confounders, select
from unsnag.databases import reading
from unsnag.stats.emulation.compare import compare
from unsnag.stats.emulation.person_days import person_days
from unsnag.stats.emulation.trial import prepare
from unsnag.workspace import load

OUTCOMES = ("released", "died_or_euthanased")


@pytest.fixture(scope="module")
def found(demo):
    """Every planned contrast on all eligible animals: (question, strategy, outcome) → low, high, in points."""
    with reading(demo.folder / "store" / "cases.duckdb") as connection:
        questions = load(resources.folder("data_demo")).questions.question
        tables = [contrasts(analyse.Mart(connection), question) for question in questions]
    return {key: limits for table in tables for key, limits in table.items()}


def contrasts(mart, question):
    chosen = select(mart, question)
    days = person_days(chosen.cases, chosen.events, question.horizon_days)
    strategies = {each.name: each.settings for each in question.strategy}
    trial = prepare(days, strategies, confounders(question, chosen.cases))
    rows = compare(trial, replicates=100, seed=1, quantiles=(1.0,)).differences
    rows = rows[rows["measure"].isin(OUTCOMES)]
    return {(question.name, row.strategy, row.measure): (row.low, row.high) for row in rows.itertuples()}


def true_differences():
    effects = demo_exports.planted("effects")["effect"]
    value = {(each["question"], each["strategy"]): each for each in effects if each["group"] == "all"}
    questions = load(resources.folder("data_demo")).questions.question
    for question in questions:
        first, *later = (each.name for each in question.strategy)
        difference = partial(minus, value[question.name, first])
        for strategy in later:
            yield from (
                (key, each) for key, each in difference(value[question.name, strategy], question, strategy)
            )


def minus(first, other, question, strategy):
    return [((question.name, strategy, measure), other[measure] - first[measure]) for measure in OUTCOMES]


def test_the_demos_known_effects_lie_in_their_intervals(found):
    true = dict(true_differences())
    assert set(true) == set(found) and len(true) == 16
    outside = [key for key, value in true.items() if not found[key][0] <= value <= found[key][1]]
    # Of sixteen independent 95 % intervals three or more miss in four networks of a hundred (binomial).
    assert len(outside) <= 2, outside
