"""What is shipped: the wheel holds what git holds, and the demo runs from it; an editable install uses the checkout."""

import os
import subprocess
import sys
import sysconfig
import venv
import zipfile
from pathlib import Path

import pytest
from conftest import CHECKOUT, keep_one_question

SHIPPED = {
    "pipeline/unsnag/": "unsnag/",
    "dashboards/unsnag_charts/": "unsnag_charts/",
    "dashboards/": "unsnag/shipped/dashboards/",
    "sql/": "unsnag/shipped/sql/",
    "data_demo/": "unsnag/shipped/data_demo/",
}


def run(*command, cwd, **environment):
    """The command's output; its errors are shown if it fails."""
    done = subprocess.run(
        [str(part) for part in command],
        cwd=cwd, env=os.environ | environment, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def tracked_files():
    """The files that git tracks and that are on disk, as the wheel should name them."""
    if not (CHECKOUT / ".git").exists():
        pytest.skip("not a git checkout, so there is no list of tracked files")
    names = run("git", "-c", "core.quotepath=off", "ls-files", cwd=CHECKOUT).splitlines()
    return {wheel_name(name) for name in names if (CHECKOUT / name).is_file()} - {None}


def wheel_name(name):
    """Where the wheel holds a file of the checkout; None if it does not ship it."""
    prefix = next((prefix for prefix in SHIPPED if name.startswith(prefix)), None)
    return prefix and SHIPPED[prefix] + name.removeprefix(prefix)


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", folder, cwd=CHECKOUT)
    (path,) = folder.glob("*.whl")
    return path


def test_the_wheel_holds_every_tracked_file_and_no_ignored_one(wheel):
    with zipfile.ZipFile(wheel) as archive:
        names = {name for name in archive.namelist() if ".dist-info/" not in name}
    tracked = tracked_files()
    assert tracked - names == set()
    untracked = run("git", "ls-files", "--others", "--exclude-standard", cwd=CHECKOUT).splitlines()
    assert names - tracked - {wheel_name(name) for name in untracked} == set()


def test_the_demo_runs_from_the_wheel(wheel, tmp_path):
    installed, demo = tmp_path / "installed", tmp_path / "demo"
    run(sys.executable, "-m", "pip", "install", "-q", "--no-deps", "--target", installed, wheel, cwd=tmp_path)
    lay_out = f"from pathlib import Path; from unsnag.cli import copy_demo; copy_demo(Path({str(demo)!r}))"
    run(sys.executable, "-c", lay_out, cwd=tmp_path, PYTHONPATH=str(installed))
    keep_one_question(demo)
    start = "import unsnag, sys; print(unsnag.__file__, file=sys.stderr); from unsnag.cli import main; main()"
    said = run(sys.executable, "-c", start, "run", demo, cwd=tmp_path, PYTHONPATH=str(installed))
    assert "report.html" in said
    assert (demo / "out" / "2024" / "report.html").stat().st_size > 100_000


def test_an_editable_install_uses_the_checkout(tmp_path):
    venv.create(tmp_path / "environment", with_pip=True)
    python = tmp_path / "environment" / "bin" / "python"
    site = run(python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))", cwd=tmp_path).strip()
    # The packages of this environment, without its own editable install: nothing is downloaded.
    Path(site, "packages.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    run(python, "-m", "pip", "install", "-q", "--no-deps", "--no-build-isolation", "-e", CHECKOUT, cwd=tmp_path)
    code = (
        "import unsnag, unsnag_charts; from unsnag import resources; "
        "print(unsnag.__file__); print(resources.folder('sql'))"
    )
    package, sql = run(python, "-c", code, cwd=tmp_path, PYTHONPATH="").splitlines()
    assert Path(package) == CHECKOUT / "pipeline" / "unsnag" / "__init__.py"
    assert Path(sql) == CHECKOUT / "sql"
