"""`unsnag.open` gives public rows with their meaning; the worked examples run and agree with one another."""

import re
import runpy
import shutil
import subprocess

import pandas as pd
import pytest
import unsnag
from conftest import CHECKOUT, skip_unless_ci
from unsnag.errors import Problem
from unsnag.share.extract import write_extract

EXAMPLES = CHECKOUT / "dashboards" / "examples"
COHORT = "swallowed_hook_turtles"


@pytest.fixture(scope="module")
def opened(demo):
    return unsnag.open(demo.folder)


@pytest.fixture(scope="module")
def example():
    return runpy.run_path(str(EXAMPLES / "swallowed_hooks.py"))


def test_the_frame_holds_the_public_rows_of_the_cohort_in_their_order(demo, opened):
    cases = opened.cases(cohort=COHORT)
    members = demo.public(f"select case_id from public.cohort_cases where cohort = '{COHORT}' order by 1")
    assert [(case,) for case in cases["case_id"]] == members
    assert list(cases.columns) == list(opened.meaning("cases"))


def test_numbers_stay_whole_and_missing_stays_missing(opened):
    cases = opened.cases(cohort="all_cases")
    assert str(cases["stay_days"].dtype) == "Int64" and str(cases["is_tackle"].dtype) == "boolean"
    assert cases["clinic"].isna().all() and cases["latitude"].isna().any()


def test_every_column_has_its_meaning_and_the_frame_its_query(demo, opened):
    cases = opened.cases(cohort=COHORT)
    assert set(cases.attrs["columns"]) == set(cases.columns) and all(cases.attrs["columns"].values())
    assert len(demo.public(cases.attrs["query"])) == len(cases)


def test_tables_cohorts_and_answers_are_at_hand(opened):
    assert {"cases", "release_rates"} <= set(opened.tables()) and COHORT in opened.cohorts()
    assert len(opened.table("release_rates")) > 10
    assert opened.ask("select count(*) from cases where is_tackle = $x", x=True).rows[0][0] > 100


def test_a_slip_is_told(opened, tmp_path):
    with pytest.raises(Problem, match="Did you mean 'swallowed_hook_turtles'"):
        opened.cases(cohort="swallowed_hook_turtle")
    with pytest.raises(Problem, match=r"Did you mean .public.release_rates"):
        opened.table("release_rate")
    with pytest.raises(Problem, match="First run: unsnag run"):
        unsnag.open(tmp_path)


def test_the_python_example_prints_its_tables(demo, example, capsys):
    example["main"](demo.folder)
    said = capsys.readouterr().out
    assert re.search(r"\d+ cases of the cohort swallowed_hook_turtles", said)
    assert "freshwater_turtle" in said and "euthanased" in said


def test_the_python_example_counts_as_a_hand_does(example):
    """Ten turtles: one died on day 5, one was released on day 10, two on day 30, six are still in care."""
    endings = ["released"] * 3 + ["died"] + ["pending"] * 6
    cases = pd.DataFrame({
        "is_alive_on_arrival": True, "taxon_group_code": "sea_turtle", "outcome_class": endings,
        "stay_days": [10, 30, 30, 5] + [400] * 6,
    })  # fmt: skip
    (row,) = example["release_by_group"](cases).itertuples()
    assert (row.released, row.animals, row.percent) == (3, 4, 75)
    shares = example["ended_by_day"](cases)
    assert shares.loc[7].round(6).tolist() == [0, 10, 0] and shares.loc[30].round(6).tolist() == [30, 10, 0]


def test_the_r_example_finds_what_the_python_example_finds(demo, example, opened, tmp_path):
    """survfit of R's survival and this project's estimator, from the extract and from the frame."""
    if not shutil.which("Rscript"):
        skip_unless_ci("Rscript is not installed")
    write_extract(demo.folder / "out" / "public.duckdb", COHORT, tmp_path / "turtles", minimum=3)
    command = ["Rscript", str(EXAMPLES / "swallowed_hooks.R"), str(tmp_path / "turtles")]
    said = subprocess.run(command, capture_output=True, text=True, timeout=120)
    assert said.returncode == 0, said.stderr
    cases = opened.cases(cohort=COHORT)
    shares = example["ended_by_day"](cases)
    for day in shares.index:
        told = re.search(rf"^\s+{day}\s+(\S+)\s+(\S+)\s+(\S+)\s*$", said.stdout, re.MULTILINE)
        assert [float(cell) for cell in told.groups()] == pytest.approx(shares.loc[day].tolist(), abs=0.051)
    for row in example["release_by_group"](cases).itertuples():
        assert f"{row.Index}: {row.released} of {row.animals} released" in said.stdout


def test_an_extract_is_told_from_a_workspace_that_has_not_run(demo, tmp_path):
    write_extract(demo.folder / "out" / "public.duckdb", COHORT, tmp_path / "turtles", minimum=3)
    with pytest.raises(Problem) as caught:
        unsnag.open(tmp_path / "turtles")
    assert "this is an extract" in caught.value.what
    command = caught.value.remedy.removeprefix("Read it with: ")
    assert len(eval(command, {"pandas": pd})) > 50
    with pytest.raises(Problem, match="unsnag run"):
        unsnag.open(tmp_path)


def test_an_answer_is_a_frame_with_whole_numbers(opened):
    frame = opened.ask(
        "select n, null::integer as e, true as t, day::varchar as d, n / 2 as h from range(3) r(n), "
        "(select date '2024-06-30' as day) order by n"
    ).frame()
    assert frame["n"].tolist() == [0, 1, 2] and frame["h"].tolist() == [0, 0.5, 1]
    assert frame.dtypes.map(str).to_dict() == {
        "n": "Int64", "e": "Int64", "t": "boolean", "d": "string", "h": "float64",
    }  # fmt: skip
    assert list(opened.ask("select 1 as x where false").frame().columns) == ["x"]
