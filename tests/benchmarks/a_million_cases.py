"""How long the demo's layouts with 1,000,000 cases take to build and analyse, beside a bare DuckDB read_csv.

Run: PYTHONPATH=pipeline:dashboards python tests/benchmarks/a_million_cases.py [cases] [folder]

The workspace is made in the folder (by default a temporary one), or used again if it is there. Build and analysis run
in a process of their own, once at two threads and once at one; their tables must be the same. The bare reading is of
the same rows, as they stand in raw.*, written as UTF-8 CSV, all columns text, into a new DuckDB file, at two threads.
The planned comparisons are left out (questions.toml is emptied): their time is that of the bootstrap, not of the rows,
and tests/benchmarks/emulation_speed.py measures it.

Wanted: at most 60 times the bare reading, under 4 GB, the same bytes. The clock misleads on a busy machine, so that
processor seconds stand beside it; memory is that of all processes of a run together, looked at ten times a second.
"""

import hashlib
import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import NamedTuple

import duckdb
from unsnag.databases import reading

CHECKOUT = Path(__file__).resolve().parents[2]
MAKER = CHECKOUT / "data_demo" / "maker" / "make.py"
RUN = """
import sys
from pathlib import Path
import duckdb
plain = duckdb.connect
def connect(*arguments, config=None, **named):
    connection = plain(*arguments, config={**(config or {}), "threads": sys.argv[2]}, **named)
    connection.execute("set enable_progress_bar = false")
    return connection
duckdb.connect = connect
from unsnag import run, store
from unsnag.workspace import load
workspace = load(Path(sys.argv[1]))
tell = (lambda what: print(what, flush=True)) if "--tell" in sys.argv else (lambda what: None)
store.build(workspace, tell)
run.analyse_and_publish(workspace, tell)
"""
BARE = """
import sys
from pathlib import Path
import duckdb
with duckdb.connect(sys.argv[1], config={"threads": "2"}) as connection:
    connection.execute("set enable_progress_bar = false")
    for number, path in enumerate(sorted(Path(sys.argv[2]).glob("*.csv"))):
        connection.execute(f"create table t{number} as from read_csv(?, all_varchar = true, header = true, "
                           "delim = ',', quote = '\\"', escape = '\\"')", [str(path)])
"""


class Cost(NamedTuple):
    """What a process took: seconds by the clock, seconds of processor, peak memory in bytes."""

    clock: float
    processor: float
    memory: int

    def __str__(self) -> str:
        return f"{self.clock:.1f} s, processor {self.processor:.1f} s, peak memory {self.memory / 1e9:.2f} GB"


def cost_of(script: str, *arguments: object) -> Cost:
    """Run a script in a process of its own."""
    paths = os.pathsep.join(str(CHECKOUT / name) for name in ("pipeline", "dashboards"))
    command = [sys.executable, "-W", "ignore", "-c", script, *map(str, arguments)]
    start = time.perf_counter()
    process = subprocess.Popen(command, env=os.environ | {"PYTHONPATH": paths})
    memory, ended = 0, (0, 0, None)
    while not ended[0]:
        time.sleep(0.1)
        memory = max(memory, resident(process.pid))
        ended = os.wait4(process.pid, os.WNOHANG)
    _, status, usage = ended
    if status:
        sys.exit("the run failed")
    return Cost(
        time.perf_counter() - start, usage.ru_utime + usage.ru_stime, max(memory, usage.ru_maxrss * 1024)
    )


def resident(process: int) -> int:
    """Bytes in memory of a process and all that it started (Linux; pages that they share count for each)."""
    try:
        pages = int(Path(f"/proc/{process}/statm").read_text().split()[1])
        children = Path(f"/proc/{process}/task/{process}/children").read_text().split()
    except (OSError, IndexError):
        return 0
    return pages * os.sysconf("SC_PAGE_SIZE") + sum(resident(int(child)) for child in children)


def make(folder: Path, cases: int) -> None:
    """The workspace, unless it is there; its questions emptied."""
    if not (folder / "truth" / "dirt.toml").is_file():
        subprocess.run([sys.executable, MAKER, "--cases", str(cases), "--to", folder], check=True)
    (folder / "questions.toml").write_text("# No planned comparisons.\n", encoding="utf-8")


def write_rows(store: Path, folder: Path) -> int:
    """raw.* as CSV files. Returns  how many rows."""
    folder.mkdir()
    with reading(store) as connection:
        names = connection.execute(
            "select table_name from duckdb_tables() where schema_name = 'raw' and contains(table_name, '__')"
        ).fetchall()
        written = [
            connection.execute(f"copy raw.\"{name}\" to '{folder / name}.csv' (header)").fetchone()[0]
            for (name,) in names
        ]
    return sum(written)


def fingerprints(path: Path, is_ordered: bool) -> dict[str, str]:
    """Table → what its rows are: of published tables in their order, of private ones in any."""
    with reading(path) as connection:
        names = connection.execute(
            "select schema_name, table_name from duckdb_tables() where database_name = 'pooled' order by all"
        ).fetchall()
        told = _in_order if is_ordered else _in_any_order
        return {f"{schema}.{name}": told(connection, f'{schema}."{name}"') for schema, name in names}


def _in_any_order(connection: duckdb.DuckDBPyConnection, table: str) -> str:
    sums = "select count(*), sum(hash(rows_of_it)), bit_xor(hash(rows_of_it))"
    return repr(connection.execute(f"{sums} from {table} as rows_of_it").fetchone())


def _in_order(connection: duckdb.DuckDBPyConnection, table: str) -> str:
    digest, rows = (
        hashlib.sha256(),
        connection.execute(f"select rows_of_it::varchar from {table} as rows_of_it"),
    )
    while chunk := rows.fetchmany(100_000):
        digest.update(repr(chunk).encode())
    return digest.hexdigest()


def made_tables(workspace: Path) -> dict[str, str]:
    """The fingerprints of all tables that a run made."""
    private = fingerprints(workspace / "store" / "cases.duckdb", is_ordered=False)
    return private | {f"out: {name}": told for name, told in _published(workspace).items()}


def _published(workspace: Path) -> dict[str, str]:
    return fingerprints(workspace / "out" / "public.duckdb", is_ordered=True)


def measure(cases: int, folder: Path) -> None:
    """Print all figures."""
    workspace, rows = folder / "workspace", folder / "rows"
    make(workspace, cases)
    ours = cost_of(RUN, workspace, 2, *sys.argv[3:])
    print(f"build and analyse, 2 threads: {ours}", flush=True)
    shutil.rmtree(rows, ignore_errors=True)
    count = write_rows(workspace / "store" / "cases.duckdb", rows)
    (folder / "bare.duckdb").unlink(missing_ok=True)
    bare = cost_of(BARE, folder / "bare.duckdb", rows)
    size = sum(path.stat().st_size for path in rows.glob("*.csv"))
    print(f"bare read_csv of {count:,} rows, {size:,} bytes: {bare}")
    print(
        f"ratio: {ours.clock / bare.clock:.1f} by the clock, {ours.processor / bare.processor:.1f} of processor"
    )
    told = made_tables(workspace)
    print(f"build and analyse, 1 thread: {cost_of(RUN, workspace, 1)}")
    again = made_tables(workspace)
    different = sorted(name for name in told | again if told.get(name) != again.get(name))
    print(f"{len(told)} tables, different at one thread: {', '.join(different) or 'none'}")


def main() -> None:
    """Measure in the folder given, or in one that goes away again."""
    cases = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    if len(sys.argv) > 2:
        measure(cases, Path(sys.argv[2]))
        return
    with tempfile.TemporaryDirectory() as name:
        measure(cases, Path(name))


if __name__ == "__main__":
    main()
