"""What if? Bounds for those without a known ending, a clinic or cases left out; by hand and as identities."""

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from unsnag.stats.emulation.compare import compare
from unsnag.stats.emulation.person_days import person_days
from unsnag.stats.emulation.sensitivity import (
    as_if_ended,
    differences,
    in_care_at_the_end,
    scenarios,
    without_each_clinic,
    without_known_ending,
)
from unsnag.stats.emulation.trial import estimate, prepare
from unsnag.stats.simulate import SCENARIOS, network

STRATEGIES = {
    "watch": {"kind": "watch_at_least", "days": 21},
    "early": {"kind": "retrieve_within", "days": 7},
}
CONFOUNDERS = ("clinic", "body_site", "severity", "taxon_group")


@pytest.fixture(scope="module")
def trial():
    scenario = replace(SCENARIOS["losses"], clinics=3, loss=0.003)
    cases, events = network(scenario, 300, seed=5)
    return prepare(person_days(cases, events, scenario.horizon), STRATEGIES, CONFOUNDERS, by="body_site")


def small(*endings):
    """Six alike animals, half of them retrieved at once, with their (day, ending)."""
    cases = pd.DataFrame({"case": list("abcdef"), "clinic": "x", "taxon_group": "swan"})
    rows = [(case, 0, "retrieval_surgery") for case in "abc"]
    rows += [(case, *ending) for case, ending in zip("abcdef", endings, strict=True)]
    days = person_days(cases, pd.DataFrame(rows, columns=["case", "day", "event"]), 9)
    plain = {"at_once": {"kind": "retrieve_within", "days": 0, "forced_over": 1}}
    return prepare(days, plain | {"never": {"kind": "watch_at_least", "days": 99}}, (), day_steps=(1,))


OPEN = [(2, "released"), (1, "lost"), (2, "died"), (1, "in_care"), (2, "released"), (2, "died")]


def of(frame, scenario, measure="released"):
    chosen = (frame["scenario"] == scenario) & (frame["measure"] == measure) & (frame["group"] == "all")
    (value,) = frame[chosen]["difference"]
    return value


def test_who_has_no_known_ending_by_hand():
    days = small(*OPEN).days
    assert list(np.flatnonzero(days.lost)) == [1]
    assert list(np.flatnonzero(in_care_at_the_end(days))) == [3]
    assert list(np.flatnonzero(without_known_ending(days))) == [1, 3]


def test_an_animal_in_care_at_the_horizon_is_not_open():
    days = small(*OPEN[:3], (12, "in_care"), *OPEN[4:]).days
    assert not in_care_at_the_end(days).any()


def test_bounds_by_hand():
    # One of three is released either way; the open one of each strategy makes it two of three or leaves it one.
    found = scenarios(small(*OPEN))
    assert [of(found, name) for name in ("open_released", "open_died")] == pytest.approx([0, 0], abs=1e-6)
    assert [of(found, name) for name in ("least", "most")] == pytest.approx([-1 / 3, 1 / 3], abs=1e-6)
    assert of(found, "lost_died", "died_or_euthanased") == pytest.approx(1 / 2 - 2 / 3, abs=1e-6)


def test_cases_of_notes_left_out_by_hand():
    # Without a and d: none of two released at once (b is lost), one of two never.
    from_notes = np.isin(list("abcdef"), ["a", "d"])
    found = scenarios(small(*OPEN), {"without_notes": from_notes})
    assert of(found, "without_notes") == pytest.approx(1 / 2 - 0, abs=1e-6)


def test_suppositions_leave_the_planned_trial_alone(trial):
    before = differences(trial)
    scenarios(trial)
    np.testing.assert_array_equal(before, differences(trial))
    assert trial.days.lost.sum() > 10 and trial.loss is not None
    assert as_if_ended(trial, trial.days.lost, "died").loss is None


def test_leaving_a_clinic_out_is_estimating_without_its_cases(trial):
    kept = (trial.days.cases["clinic"] != "clinic_1").to_numpy().astype(int)
    values = estimate(trial, kept, (1.0,))[0, 0]
    table = without_each_clinic(trial)
    found = table[(table["clinic"] == "clinic_1") & (table["group"] == "all")]["difference"]
    np.testing.assert_allclose(found, values[1] - values[0])


def test_bounds_enclose_the_weighted_answer(trial):
    found = scenarios(trial).set_index(["by", "group", "strategy", "measure"])
    least, most = (found[found["scenario"] == name]["difference"] for name in ("least", "most"))
    whole = compare(trial, replicates=2).differences.query("truncation == 1")
    whole = whole.set_index(["by", "group", "strategy", "measure"])["estimate"]
    chances = whole.index.get_level_values("measure").isin(["released", "died_or_euthanased"])
    assert (least < whole)[chances].all() and (whole < most)[chances].all()
