"""Long exports are read two sources at a time: the same rows, the same problems, in the same order."""

import shutil
from pathlib import Path

import duckdb
import networks
import pytest
from unsnag import models, store
from unsnag.read import side_by_side
from unsnag.workspace import load

DEMO = Path(__file__).resolve().parents[1] / "data_demo"


def filled(workspace):
    """Rows of raw.* and layout.* and what was wrong with the exports."""
    with duckdb.connect() as connection:
        models.load_codes(connection)
        problems = store.fill(connection, workspace, networks.quiet)
        tables = connection.execute(
            "select schema_name, table_name from duckdb_tables() where schema_name in ('raw', 'layout') order by all"
        ).fetchall()
        rows = {
            name: connection.execute(f'select * from {name[0]}."{name[1]}"').fetchall() for name in tables
        }
    return rows, [str(problem) for problem in problems]


@pytest.fixture
def demo_files(tmp_path):
    return shutil.copytree(DEMO, tmp_path / "workspace", ignore=shutil.ignore_patterns("truth", "maker"))


def test_two_processes_read_what_one_reads(demo_files, monkeypatch):
    broken = sorted((demo_files / "clinics" / "quennaby" / "exports").iterdir())[0]
    broken.write_bytes(b"no workbook")
    workspace = load(demo_files)
    alone, problems = filled(workspace)
    monkeypatch.setattr(side_by_side, "ENOUGH_FOR_TWO", 0)
    monkeypatch.setattr(side_by_side.os, "cpu_count", lambda: 2)
    pools = []
    real = side_by_side.ProcessPoolExecutor
    monkeypatch.setattr(
        side_by_side, "ProcessPoolExecutor", lambda *given, **how: pools.append(given) or real(*given, **how)
    )
    assert filled(workspace) == (alone, problems)
    assert pools == [(2,)] and len(problems) == 3 and all("quennaby" in problem for problem in problems)
    assert len(alone["layout", "stays"]) > 1000
