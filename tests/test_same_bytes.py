"""The same inputs give the same bytes: in another folder, time zone, locale, hash seed and number of threads."""

import hashlib
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from conftest import CHECKOUT, keep_one_question, lay_out_demo
from unsnag.databases import reading

RUN = """
import sys
from pathlib import Path
import duckdb
plain = duckdb.connect
def connect(*arguments, config=None, **named):
    return plain(*arguments, config={**(config or {}), "threads": sys.argv[2]}, **named)
duckdb.connect = connect
from unsnag import run
from unsnag.workspace import load
run.everything(load(Path(sys.argv[1])), None, None, lambda what: None)
"""
HERE = {"TZ": "America/Los_Angeles", "LC_ALL": "C.UTF-8", "PYTHONHASHSEED": "1"}
THERE = {
    "TZ": "Pacific/Kiritimati",
    "LC_ALL": "tr_TR.UTF-8",
    "LANG": "C",
    "PYTHONHASHSEED": "2",
    "PYTHONUTF8": "0",
}


def start(folder, threads, settings):
    paths = os.pathsep.join(str(CHECKOUT / name) for name in ("pipeline", "dashboards"))
    command = [sys.executable, "-c", RUN, str(folder), str(threads)]
    return subprocess.Popen(
        command,
        env=os.environ | settings | {"PYTHONPATH": paths},
        cwd=folder,
        stderr=subprocess.PIPE,
        text=True,
    )


@pytest.fixture(scope="module")
def two_runs(tmp_path_factory):
    """The demo run twice, side by side: 1 and 2 threads, two folders, zones and locales."""
    here = keep_one_question(lay_out_demo(tmp_path_factory.mktemp("a") / "demo"))
    there = keep_one_question(lay_out_demo(tmp_path_factory.mktemp("b") / "elsewhere" / "another name"))
    runs = [start(here, 1, HERE), start(there, 2, THERE)]
    for run in runs:
        _, told = run.communicate(timeout=600)
        assert run.returncode == 0, told
    return here, there


def files(folder):
    return {path.relative_to(folder).as_posix(): path for path in sorted(folder.rglob("*")) if path.is_file()}


def test_both_runs_make_the_same_files(two_runs):
    here, there = (files(folder / "out") for folder in two_runs)
    assert list(here) == list(there)
    kinds = {Path(name).suffix for name in here}
    assert {".duckdb", ".html", ".csv", ".json"} <= kinds


def test_every_published_file_but_the_database_is_byte_for_byte_the_same(two_runs):
    here, there = (files(folder / "out") for folder in two_runs)
    different = [
        name
        for name in here
        if name != "public.duckdb" and here[name].read_bytes() != there[name].read_bytes()
    ]
    assert different == []


def tables(path):
    with reading(path) as connection:
        return connection.execute(
            "select schema_name || '.' || table_name from duckdb_tables() where database_name = 'pooled' order by 1"
        ).fetchall()


def different_tables(one, other, sql):
    """Tables of two databases for which a SELECT gives different rows."""
    assert tables(one) == tables(other) != []
    with reading(one) as here, reading(other) as there:
        return [
            table
            for (table,) in tables(one)
            if repr(here.execute(sql.format(table)).fetchall())
            != repr(there.execute(sql.format(table)).fetchall())
        ]


def test_the_public_database_is_the_same_table_by_table_row_by_row(two_runs):
    """A .duckdb file is never byte-identical, so its rows are compared in the order in which they are stored."""
    here, there = (folder / "out" / "public.duckdb" for folder in two_runs)
    assert different_tables(here, there, "from {}") == []


def test_the_store_holds_the_same_rows(two_runs):
    """In the private store the order of rows is nobody's promise."""
    here, there = (folder / "store" / "cases.duckdb" for folder in two_runs)
    sums = "select count(*), sum(hash(rows_of_it)), bit_xor(hash(rows_of_it)) from {} as rows_of_it"
    assert different_tables(here, there, sums) == []


def test_the_databases_hash_is_nowhere(two_runs):
    """The manifest hashes what went into a run, never the file that differs from run to run."""
    here, _ = two_runs
    (manifest,) = [path for name, path in files(here / "out").items() if name.endswith("manifest.json")]
    text = manifest.read_text(encoding="utf-8")
    assert len(re.findall(r"\b[0-9a-f]{64}\b", text)) >= 5
    for name in ("out/public.duckdb", "store/cases.duckdb"):
        assert hashlib.sha256((here / name).read_bytes()).hexdigest() not in text


def test_no_published_text_names_this_machine(two_runs):
    here, _ = two_runs
    told = [
        name
        for name, path in files(here / "out").items()
        if path.suffix != ".duckdb"
        and any(word in path.read_bytes() for word in (str(here).encode(), b"/home/"))
    ]
    assert told == []
