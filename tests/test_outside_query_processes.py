"""A question is answered in a process of its own: it inherits no secret, and it is gone when the answer is told."""

import contextlib
import os
from pathlib import Path

import asked
import pytest
from unsnag.errors import Problem
from unsnag.share.asking import Limits, ask

SECRET = "invented-secret-of-the-environment"
ENDLESS = "select count(*) from range(1000000000) a, range(1000000000) b"


@pytest.fixture(scope="module")
def place(tmp_path_factory):
    return asked.workspace(tmp_path_factory.mktemp("asked") / "network")


def test_the_child_inherits_no_secret(place, monkeypatch):
    """Its environment is what INHERITED names, so that nothing in it can be asked for."""
    monkeypatch.setenv("SECRET_OF_TEST", SECRET)
    seen = {}
    real = __import__("subprocess").Popen

    def spy(command, **how):
        seen.update(how["env"])
        return real(command, **how)

    monkeypatch.setattr("unsnag.share.asking.subprocess.Popen", spy)
    ask(place / "out" / "public.duckdb", "select 1")
    assert SECRET not in seen.values() and len(seen) <= 8


def children():
    """The processes whose parent this one is, the dead that nobody waited for included (Linux: /proc)."""
    found = set()
    for status in Path("/proc").glob("[0-9]*/stat"):
        with contextlib.suppress(OSError):  # gone since the folder was listed
            behind_name = status.read_text(encoding="utf-8", errors="replace").rpartition(")")[2].split()
            found |= {status.parent.name} if int(behind_name[1]) == os.getpid() else set()
    return found


@pytest.mark.skipif(
    not Path("/proc/self/stat").exists(), reason="the system does not list processes in /proc"
)
def test_no_process_is_left_behind(place):
    before = children()  # a browser of another test may still be open
    with pytest.raises(Problem):
        ask(place / "out" / "public.duckdb", ENDLESS, limits=Limits(seconds=1))
    assert children() <= before
