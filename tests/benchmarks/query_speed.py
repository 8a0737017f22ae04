"""How long usual questions take on 1,000,000 published cases, process and all, best of three: each under a second.

    python tests/benchmarks/query_speed.py WORKSPACE

The cases of the workspace's public database are repeated under new ids until there are a million.
"""

import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory

import duckdb
from unsnag.share.asking import ask

CASES = 1_000_000
RUNS = 3
QUESTIONS = {
    "endings": "select outcome_class, count(*) from cases where is_tackle group by all order by all",
    "release rate by animal and injury": "select taxon_group_code, injury_code, count(*) filter (where outcome_class = "
    "'released') / count(*) as rate from cases where is_tackle group by all order by all",
    "stays, quartiles by severity": "select severity_code, quantile_cont(stay_days, [0.25, 0.5, 0.75]) from cases "
    "where outcome_class = 'released' group by all order by all",
    "year by year": "select admission_year, admission_quarter, count(*) from cases group by all order by all",
    "places": "select latitude, longitude, species_code, count(*) from cases where latitude is not null "
    "group by all order by count(*) desc, species_code, latitude, longitude limit 50",
    "longest stays": "select case_id, stay_days from cases order by stay_days desc nulls last, case_id limit 20",
}


def grow(public: Path, target: Path) -> None:
    """A public database with a million cases out of a smaller one."""
    with duckdb.connect() as connection:
        connection.execute(f"attach '{public}' as small (read_only); attach '{target}' as pooled; use pooled")
        connection.execute("create schema public")
        connection.execute(
            "create table public.cases as "
            "select md5(case_id || copies.range)[:16] as case_id, cases.* exclude (case_id) "
            "from small.public.cases cross join range((select $n // count(*) + 1 from small.public.cases)) as copies "
            "limit $n",
            {"n": CASES},
        )


def _timed(target: Path, sql: str) -> tuple[float, int]:
    begin = time.perf_counter()
    rows = len(ask(target, sql).rows)
    return time.perf_counter() - begin, rows


def main(workspace: str) -> None:
    """Print the seconds of each question; exit 1 if one takes a second or more."""
    with TemporaryDirectory() as folder:
        target = Path(folder) / "public.duckdb"
        grow(Path(workspace) / "out" / "public.duckdb", target)
        slow = False
        for name, sql in QUESTIONS.items():
            seconds, rows = min(_timed(target, sql) for _ in range(RUNS))
            slow |= seconds >= 1
            print(f"{seconds:5.2f} s  {name} ({rows} rows)")
    sys.exit(slow)


if __name__ == "__main__":
    main(sys.argv[1])
