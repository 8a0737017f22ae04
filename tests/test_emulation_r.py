"""The whole chain against R: glm for the daily chances, survfit for weighted curves (script and output kept).

On two sets of data, both invented: a simulated network with losses, and the demo's question on hooks swallowed by
turtles as its eligible cases and events stood when R was run.
"""

import shutil
import subprocess
from functools import cache
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from conftest import skip_unless_ci
from unsnag.stats.emulation.person_days import ENDINGS, person_days
from unsnag.stats.emulation.trial import prepare, strategy_curves

REFERENCE = Path(__file__).parent / "reference" / "r"
PLANNED = {
    "emulation": {
        "horizon": 30,
        "day_steps": (2, 10),
        "confounders": ("clinic", "body_site", "severity", "taxon_group"),
        "strategies": {
            "watch": {"kind": "watch_at_least", "days": 14},
            "early": {"kind": "retrieve_within", "days": 7},
            "on_findings": {"kind": "watch_then", "if_worse": True, "if_unmoved_at": 10, "within": 3},
            "surgery_first": {"kind": "first_means", "means": "surgery"},
        },
    },
    "emulation_demo": {
        "horizon": 120,
        "day_steps": (1, 2, 4, 7, 10, 14, 21, 28),
        "confounders": ("clinic", "severity", "body_site", "line_trailing"),
        "strategies": {
            "early": {"kind": "retrieve_within", "days": 7},
            "watch": {"kind": "watch_at_least", "days": 21},
            "on_findings": {"kind": "watch_then", "if_worse": True, "if_unmoved_at": 14, "within": 3},
        },
    },
}
CURVES = [(name, strategy) for name, planned in PLANNED.items() for strategy in planned["strategies"]]


def table(name, part):
    return pd.read_csv(REFERENCE / f"{name}_{part}.csv", keep_default_na=False)


@cache
def trial(name):
    planned = PLANNED[name]
    days = person_days(table(name, "cases"), table(name, "events"), planned["horizon"])
    return prepare(days, planned["strategies"], planned["confounders"], day_steps=planned["day_steps"])


@pytest.mark.parametrize("name", PLANNED)
def test_daily_chance_of_retrieval_matches_r_glm(name):
    expected, found = table(name, "daily_chance.out"), trial(name)
    fitted = found.retrieval.chance(np.ones(len(found.days.cases), int))
    case = found.days.cases["case"].to_numpy()[found.retrieval.case]
    ours = pd.DataFrame({"case": case, "day": found.retrieval.day, "fitted": fitted})
    both = ours.merge(expected, on=["case", "day"], how="outer", validate="1:1")
    assert len(both) == len(expected) == len(ours)
    np.testing.assert_allclose(both["fitted"], both["chance"], atol=1e-6)


@pytest.mark.parametrize("name, strategy", CURVES)
def test_weighted_curves_match_r_survival(name, strategy):
    expected = table(name, "weighted_curves.out").query("strategy == @strategy")
    ours = strategy_curves(trial(name))[0, list(PLANNED[name]["strategies"]).index(strategy)]
    assert list(expected["day"]) == list(range(PLANNED[name]["horizon"] + 1))
    np.testing.assert_allclose(ours, expected[list(ENDINGS)], atol=1e-6)


def test_what_the_r_script_wrote_is_what_it_writes(tmp_path):
    if shutil.which("Rscript") is None:
        skip_unless_ci("Rscript is not installed")
    inputs = [f"{name}_{part}.csv" for name in PLANNED for part in ("cases", "events")]
    for name in (*inputs, "emulation_weighted_curves.R"):
        shutil.copy(REFERENCE / name, tmp_path)
    subprocess.run(["Rscript", "--vanilla", "emulation_weighted_curves.R"], cwd=tmp_path, check=True)
    for name in [
        f"{name}_{part}.out.csv" for name in PLANNED for part in ("daily_chance", "weighted_curves")
    ]:
        fresh, kept = pd.read_csv(tmp_path / name), pd.read_csv(REFERENCE / name)
        pd.testing.assert_frame_equal(fresh, kept, rtol=0, atol=1e-9)
