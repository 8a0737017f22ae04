"""The whole chain against R: glm for the daily chances, survfit for weighted curves (script and output kept)."""

import shutil
import subprocess
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from unsnag.stats.emulation.person_days import ENDINGS, person_days
from unsnag.stats.emulation.trial import prepare, strategy_curves

REFERENCE = Path(__file__).parent / "reference" / "r"
HORIZON = 30
STRATEGIES = {
    "watch": {"kind": "watch_at_least", "days": 14},
    "early": {"kind": "retrieve_within", "days": 7},
    "on_findings": {"kind": "watch_then", "if_worse": True, "if_unmoved_at": 10, "within": 3},
    "surgery_first": {"kind": "first_means", "means": "surgery"},
}


@pytest.fixture(scope="module")
def trial():
    cases = pd.read_csv(REFERENCE / "emulation_cases.csv")
    events = pd.read_csv(REFERENCE / "emulation_events.csv")
    days = person_days(cases, events, HORIZON)
    confounders = ("clinic", "body_site", "severity", "taxon_group")
    return prepare(days, STRATEGIES, confounders, day_steps=(2, 10))


def test_daily_chance_of_retrieval_matches_r_glm(trial):
    expected = pd.read_csv(REFERENCE / "emulation_daily_chance.out.csv")
    fitted = trial.retrieval.chance(np.ones(len(trial.days.cases), int))
    ours = pd.DataFrame(
        {"case": trial.days.cases["case"].to_numpy()[trial.retrieval.case], "day": trial.retrieval.day}
    )
    both = ours.assign(fitted=fitted).merge(expected, on=["case", "day"], how="outer", validate="1:1")
    assert len(both) == len(expected) == len(ours)
    np.testing.assert_allclose(both["fitted"], both["chance"], atol=1e-6)


@pytest.mark.parametrize("place, strategy", list(enumerate(STRATEGIES)))
def test_weighted_curves_match_r_survival(trial, place, strategy):
    expected = pd.read_csv(REFERENCE / "emulation_weighted_curves.out.csv")
    expected = expected[expected["strategy"] == strategy]
    ours = strategy_curves(trial)[0, place]
    assert list(expected["day"]) == list(range(HORIZON + 1))
    np.testing.assert_allclose(ours, expected[list(ENDINGS)], atol=1e-6)


def test_what_the_r_script_wrote_is_what_it_writes(tmp_path):
    if shutil.which("Rscript") is None:
        pytest.skip("Rscript is not installed")
    for name in ("emulation_cases.csv", "emulation_events.csv", "emulation_weighted_curves.R"):
        shutil.copy(REFERENCE / name, tmp_path)
    subprocess.run(["Rscript", "--vanilla", "emulation_weighted_curves.R"], cwd=tmp_path, check=True)
    for name in ("emulation_daily_chance.out.csv", "emulation_weighted_curves.out.csv"):
        fresh, kept = pd.read_csv(tmp_path / name), pd.read_csv(REFERENCE / name)
        pd.testing.assert_frame_equal(fresh, kept, rtol=0, atol=1e-9)
