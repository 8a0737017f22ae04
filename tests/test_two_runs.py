"""Same inputs, same bytes: two folders, time zones, locales, hash seeds and numbers of threads."""

import hashlib
import os
import subprocess
import sys
from pathlib import Path

import duckdb
import pytest
from conftest import keep_one_question, lay_out_demo

DRIVER = """
import sys
from pathlib import Path
import duckdb
connect, threads = duckdb.connect, int(sys.argv[2])
def with_threads(*arguments, **options):
    options["config"] = {**options.get("config", {}), "threads": threads}
    return connect(*arguments, **options)
duckdb.connect = with_threads
from unsnag import run
from unsnag.workspace import load
run.everything(load(Path(sys.argv[1])), None, None, lambda what: None)
"""
SURROUNDINGS = {
    "here": (1, {"TZ": "UTC", "LC_ALL": "C", "PYTHONHASHSEED": "1"}),
    "elsewhere/far away": (2, {"TZ": "Pacific/Kiritimati", "LC_ALL": "tr_TR.UTF-8", "PYTHONHASHSEED": "2"}),
}


@pytest.fixture(scope="module")
def outs(tmp_path_factory):
    """The out/ folders of two runs on the same inputs."""
    made = []
    for name, (threads, environment) in SURROUNDINGS.items():
        folder = keep_one_question(lay_out_demo(tmp_path_factory.mktemp("run") / name))
        done = subprocess.run(
            [sys.executable, "-c", DRIVER, str(folder), str(threads)],
            env=os.environ | environment, capture_output=True, text=True, check=False,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
        made.append(folder / "out")
    return made


def files(out: Path) -> dict[str, str]:
    """Relative path → hash, of all but the database."""
    paths = sorted(path for path in out.rglob("*") if path.is_file() and path.suffix != ".duckdb")
    return {str(path.relative_to(out)): hashlib.sha256(path.read_bytes()).hexdigest() for path in paths}


def test_every_published_file_is_the_same_to_the_byte(outs):
    here, there = map(files, outs)
    assert len(here) > 10
    assert here == there


def test_the_public_database_is_the_same_table_by_table(outs):
    with duckdb.connect() as connection:
        for name, out in zip(("here", "there"), outs, strict=True):
            connection.execute(f"attach '{out / 'public.duckdb'}' as {name} (read_only)")
        listed = "select table_name from duckdb_tables() where database_name = '{}' order by 1"
        here, there = (connection.execute(listed.format(name)).fetchall() for name in ("here", "there"))
        assert here == there
        for (table,) in here:
            rows = [connection.execute(f"from {name}.public.{table}").fetchall() for name in ("here", "there")]
            assert repr(rows[0]) == repr(rows[1]), table


def test_the_manifest_does_not_hash_the_database(outs):
    manifest = next(outs[0].glob("*/manifest.json")).read_text(encoding="utf-8")
    assert hashlib.sha256((outs[0] / "public.duckdb").read_bytes()).hexdigest() not in manifest
    assert str(outs[0].parent) not in manifest
