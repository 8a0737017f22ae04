"""Incidence with variance of every group of a million cases: counted in DuckDB and computed here, and by R's survfit.

    PYTHONPATH=pipeline python tests/benchmarks/incidence_against_r.py [cases]

Ours is what a run does: sql/4_mart/ending_days.sql on a table of cases, then analyses/endings. R is given each grouping
in turn, already in memory; reading is not timed. Both are timed in one run on the same cases.
"""

import subprocess
import sys
import tempfile
import time
from pathlib import Path

import duckdb
from unsnag import models
from unsnag.analyse import Mart
from unsnag.analyses import endings

GROUPINGS = {"admission_year": 6, "taxon_group": 17, "injury": 7, "gear": 10, "body_site": 21, "severity": 4}
CASES = """
create table mart.cases as
select
    range as case_id, 'clinic' || range % 5 as clinic, true as is_tackle, true as is_alive_on_arrival, 0 as entry_days,
    least(floor(-30 * ln(1 - random())), 364)::integer as stay_days,
    list_extract(['released', 'released', 'released', 'died', 'euthanased', 'pending'], 1 + (6 * random())::integer % 6)
        as outcome_class,
    2019 + (range * 7919) % 6 as admission_year,
    'g' || (range * 104729) % 17 as taxon_group_code, 'g' || (range * 1299709) % 7 as injury_code,
    'g' || (range * 15485863) % 10 as gear_code, 'g' || (range * 32452843) % 21 as body_site_code,
    'g' || (range * 49979687) % 4 as severity_code
from range($cases)
"""
R = """
suppressMessages(library(survival))
d <- read.csv(commandArgs(TRUE)[1], stringsAsFactors = TRUE)
d$ending <- factor(d$ending, c("", "released", "died", "euthanased"))
for (name in setdiff(names(d), c("stay_days", "ending"))) {
  took <- system.time(fit <- survfit(Surv(stay_days, ending) ~ d[[name]], data = d))[["elapsed"]]
  at <- summary(fit, times = 90, extend = TRUE)
  cat(name, took, length(fit$strata), at$pstate[1, 2], at$std.err[1, 2], "\\n")
}
"""


def made(cases):
    """A database with the cases alone."""
    connection = duckdb.connect()
    connection.execute("create schema mart; select setseed(0.4)")
    connection.execute(CASES, {"cases": cases})
    return connection


def ours(connection):
    """Seconds to count and to compute, and the frame."""
    (model,) = (model for model in models.find(["4_mart"]) if model.name == "mart.ending_days")
    start = time.perf_counter()
    connection.execute(f"create or replace table mart.ending_days as {model.select}")
    counted = time.perf_counter()
    frame = endings.compute(Mart(connection))
    return counted - start, time.perf_counter() - counted, frame


def theirs(connection):
    """What R prints, as it comes: grouping, seconds, groups, and one incidence with its standard error to compare."""
    columns = ", ".join(f"{name}_code as {name}" for name in GROUPINGS if name != "admission_year")
    with tempfile.TemporaryDirectory() as folder:
        file, script = Path(folder) / "cases.csv", Path(folder) / "survfit.R"
        script.write_text(R)
        connection.execute(
            f"copy (select stay_days, if(outcome_class = 'pending', '', outcome_class) as ending, 'all' as everybody, "
            f"admission_year, {columns} from mart.cases) to '{file}' (header)"
        )
        with subprocess.Popen(
            ["Rscript", "--vanilla", script, file], stdout=subprocess.PIPE, text=True
        ) as running:
            for line in running.stdout:
                yield line.split()


def main():
    cases = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    connection = made(cases)
    counting, computing, frame = min((ours(connection) for _ in range(3)), key=lambda run: run[0] + run[1])
    released = frame.query("grouping == 'all' and ending == 'released' and day <= 90").iloc[-1]
    print(
        f"{cases:,} cases, {sum(GROUPINGS.values()) + 1} groups; released by day 90: {released['incidence']:.4f} %"
    )
    print(f"here: counting {counting:.2f} s, computing {computing:.2f} s")
    total = 0.0
    for name, took, groups, incidence, error in theirs(connection):
        total += float(took)
        print(
            f"survfit by {name}: {float(took):.2f} s, {groups} groups, first {incidence} ({error})",
            flush=True,
        )
    print(f"survfit {total:.2f} s: {total / (counting + computing):.1f} times as long")


if __name__ == "__main__":
    main()
