"""How long a delimited export of 1,000,000 rows and 40 columns takes, beside a bare DuckDB read_csv.

Run: PYTHONPATH=pipeline python tests/benchmarks/read_a_million_rows.py [rows]
"""

import resource
import sys
import tempfile
import time
from contextlib import contextmanager
from pathlib import Path

import duckdb
from unsnag.read import SourceLayout, read_source

COLUMNS = 40
MADE = """copy (select 'W' || i as "case number", (date '2019-01-01' + (i % 2000)::integer)::varchar as admitted,
    'Found near jetty ' || hash(i) % 997 || ', hook size 4/0 in wing, '
    || (900 + i % 700) || ' g; "X-ray" done' as notes,
    'finder ' || i as finder, {words}, {numbers} from range({rows}) as made (i)) to '{path}' (header, delimiter ';')"""


def make(path: Path, rows: int) -> None:
    """An invented export: half of the other columns are words of a few kinds, half are numbers."""
    words = ", ".join(f"'word ' || hash(i + {n}) % 50 as \"word {n}\"" for n in range(18))
    numbers = ", ".join(f'round(hash(i + {n}) % 100000 / 100, 2) as "number {n}"' for n in range(18))
    duckdb.sql(MADE.format(words=words, numbers=numbers, rows=rows, path=path))


@contextmanager
def timed(what: str):
    """Print what the block took."""
    clock, processor = time.perf_counter(), time.process_time()
    yield
    print(f"{what}: {time.perf_counter() - clock:.1f} s, processor {time.process_time() - processor:.1f} s")


def main() -> None:
    """Print seconds by the clock and of processor time (the clock misleads on a busy machine), and peak memory."""
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        make(folder / "export.csv", rows)
        plain = (
            {f"word {n}" for n in range(18)}
            | {f"number {n}" for n in range(18)}
            | {"case number", "admitted"}
        )
        layout = SourceLayout(
            clinic="invented",
            name="intakes",
            folder=folder,
            files="export.csv",
            delimiter=";",
            private=("finder",),
            plain_columns=frozenset(plain if "--plain" in sys.argv else {"case number"}),
        )
        before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        with timed("read_source"), duckdb.connect(folder / "store.duckdb") as connection:
            connection.execute("set memory_limit = '512MB'")
            (record,) = read_source(connection, layout, 1)
        print(f"{record.raw_rows} rows, {record.bytes:,} bytes")
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        print(f"peak memory {peak // 1024} MB (making the file took it to {before // 1024} MB)")
        with timed("bare read_csv"), duckdb.connect(folder / "bare.duckdb") as connection:
            connection.execute(
                "create table t as select * from read_csv(?, all_varchar = true)",
                [str(folder / "export.csv")],
            )


if __name__ == "__main__":
    main()
