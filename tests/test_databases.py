"""Databases that are built anew: in limited memory, and nothing left beside them."""

import duckdb
import pytest
from unsnag import databases
from unsnag.databases import reading, swapped_in

SORTED = "create table sorted as select md5(i::varchar) as word from range(1500000) as made (i) order by word"


def test_what_needs_more_memory_than_is_allowed_is_built_beside_the_file(tmp_path, monkeypatch):
    monkeypatch.setitem(databases.SETTINGS, "memory_limit", "60MB")
    with swapped_in(tmp_path / "a.duckdb") as connection:
        connection.execute(SORTED)
    with reading(tmp_path / "a.duckdb") as connection:
        assert connection.execute("select count(*) from sorted").fetchone() == (1500000,)
    assert [path.name for path in tmp_path.iterdir()] == ["a.duckdb"]


def test_the_same_needs_the_folder_beside_the_file(tmp_path, monkeypatch):
    for name, value in {"memory_limit": "60MB", "max_temp_directory_size": "0KB"}.items():
        monkeypatch.setitem(databases.SETTINGS, name, value)
    with pytest.raises(duckdb.OutOfMemoryException), swapped_in(tmp_path / "a.duckdb") as connection:
        connection.execute(SORTED)
    assert [path.name for path in tmp_path.iterdir()] == []


def test_what_a_killed_run_left_is_cleared_away(tmp_path):
    (tmp_path / "a.duckdb.spilled").mkdir()
    (tmp_path / "a.duckdb.spilled" / "left.tmp").write_bytes(b"private")
    with swapped_in(tmp_path / "a.duckdb") as connection:
        connection.execute("create table one as select 1")
    assert [path.name for path in tmp_path.iterdir()] == ["a.duckdb"]
