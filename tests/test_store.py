"""A run that fails or is killed leaves the last good store and public database as they were."""

import hashlib
import os
import shutil
import subprocess
import sys

import networks
import pytest
from conftest import CHECKOUT
from unsnag import checks, models, publish, run, store
from unsnag.databases import reading, swapped_in
from unsnag.workspace import load

STAYS = "case_number,admission_date,outcome\n1,2023-01-01,released\n"
MORE = STAYS + "2,2023-02-01,died\n"
COUNT = "select count(*) from mart.cases"
# Builds, and stops for good in the middle of the rooms, so that it can only be killed.
STUCK = """
import sys, time
from pathlib import Path
from unsnag import store
from unsnag.workspace import load
def tell(what):
    if what == "mart.cases":
        print("in the middle", flush=True)
        time.sleep(600)
store.build(load(Path(sys.argv[1])), tell=tell)
"""


@pytest.fixture(scope="module")
def published(tmp_path_factory):
    """A small workspace, built and published."""
    folder = networks.write_network(tmp_path_factory.mktemp("published"))
    networks.write_clinic(folder, "north", STAYS)
    return networks.build(folder, publish=True).folder


@pytest.fixture
def built(published, tmp_path):
    """A copy of it that has been given one record more since."""
    folder = shutil.copytree(published, tmp_path / "network")
    networks.write_clinic(folder, "north", MORE)
    return networks.Built(folder)


def hashes(folder):
    files = sorted([*(folder / "store").iterdir(), *(folder / "out").glob("*.duckdb")])
    return {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in files}


def test_a_build_takes_the_place_of_the_one_before(built):
    assert built.one(COUNT) == 1
    store.build(load(built.folder))
    assert built.one(COUNT) == 2


@pytest.mark.parametrize(
    ("module", "name"), [(models, "build"), (checks, "gather"), (store, "parameters"), (models, "load_codes")]
)
def test_a_build_that_fails_leaves_the_last_good_store(built, monkeypatch, module, name):
    before = hashes(built.folder)

    def broken(*arguments, **named):
        raise RuntimeError("no space left")

    monkeypatch.setattr(module, name, broken)
    with pytest.raises(RuntimeError, match="no space left"):
        store.build(load(built.folder))
    assert hashes(built.folder) == before
    assert built.one(COUNT) == 1


def test_an_interrupted_build_leaves_the_last_good_store(built):
    before = hashes(built.folder)

    def interrupt(what):
        if what == "stage.stays":
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        store.build(load(built.folder), tell=interrupt)
    assert hashes(built.folder) == before


def test_a_publication_that_fails_leaves_store_and_public_database(built, monkeypatch):
    before = hashes(built.folder)

    def broken(*arguments, **named):
        raise RuntimeError("no space left")

    monkeypatch.setattr(publish, "decide", broken)
    with pytest.raises(RuntimeError):
        run.analyse_and_publish(load(built.folder), networks.quiet)
    assert hashes(built.folder) == before


def test_a_killed_build_leaves_the_last_good_store_and_the_next_one_works(built):
    before = hashes(built.folder)
    paths = os.pathsep.join(str(CHECKOUT / name) for name in ("pipeline", "dashboards"))
    stuck = subprocess.Popen(
        [sys.executable, "-c", STUCK, str(built.folder)],
        env=os.environ | {"PYTHONPATH": paths},
        stdout=subprocess.PIPE,
        text=True,
    )
    assert stuck.stdout.readline() == "in the middle\n"
    stuck.kill()
    stuck.communicate()
    left = hashes(built.folder)
    assert left.keys() > before.keys(), "it was killed while a new file was being built"
    assert {name: left[name] for name in before} == before
    assert built.one(COUNT) == 1
    store.build(load(built.folder))
    assert built.one(COUNT) == 2
    assert hashes(built.folder).keys() == before.keys()


def test_a_reader_keeps_the_store_that_it_opened(built):
    with reading(built.folder / "store" / "cases.duckdb") as connection:
        assert connection.execute(COUNT).fetchone() == (1,)
        with swapped_in(built.folder / "store" / "cases.duckdb") as new:
            new.execute("create schema mart")
            new.execute("create table mart.cases as select 1 as a from range(5)")
        assert connection.execute(COUNT).fetchone() == (1,)


def test_nothing_is_built_on_a_store_that_is_not_there(tmp_path):
    networks.write_clinic(networks.write_network(tmp_path), "north", STAYS)
    with pytest.raises(store.Problem, match="unsnag build"):
        run.analyse_and_publish(load(tmp_path), networks.quiet)
