"""The wheel holds what git holds and nothing else, and runs the demo; an editable install uses the checkout at once."""

import os
import shutil
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest
from conftest import CHECKOUT, keep_one_question

# Folder of the checkout → folder of the wheel, the longest first.
SHIPPED = {
    "dashboards/unsnag_charts/": "unsnag_charts/",
    "pipeline/unsnag/": "unsnag/",
    "dashboards/": "unsnag/shipped/dashboards/",
    "sql/": "unsnag/shipped/sql/",
    "data_demo/": "unsnag/shipped/data_demo/",
}
UNSHIPPED = "dashboards/tour/"  # pictures for README.md
JUNK = (
    "data_demo/out/old.csv",
    "data_demo/store/cases.duckdb",
    "sql/__pycache__/x.pyc",
    "pipeline/unsnag/x.pyc",
)


def run(*command, **how):
    """Run a command; what it printed, or the test fails with it."""
    done = subprocess.run([str(part) for part in command], capture_output=True, text=True, timeout=600, **how)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def tracked():
    """The files that git knows of and that are there; skips where this is no checkout of git."""
    if not (CHECKOUT / ".git").exists() or not shutil.which("git"):
        pytest.skip("this is no git checkout, so there is no list of files to compare with")
    listed = run("git", "ls-files", "-z", cwd=CHECKOUT).split("\0")
    return [name for name in listed if name and (CHECKOUT / name).is_file()]


@pytest.fixture(scope="module")
def checkout(tmp_path_factory):
    """A copy of the files that git knows of, with files beside them that must never be shipped."""
    folder = tmp_path_factory.mktemp("checkout")
    for name in tracked():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(CHECKOUT / name, folder / name)
    for name in JUNK:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text("never ship this")
    return folder


@pytest.fixture(scope="module")
def wheel(checkout, tmp_path_factory):
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", folder, cwd=checkout)
    (path,) = folder.glob("*.whl")
    return path


def in_wheel(name):
    """Where a file of the checkout stands in the wheel; None if it is not shipped."""
    if name.startswith(UNSHIPPED):
        return None
    for folder, target in SHIPPED.items():
        if name.startswith(folder):
            return target + name.removeprefix(folder)
    return None


def test_the_wheel_holds_what_git_holds_and_nothing_else(wheel):
    expected = {in_wheel(name) for name in tracked()} - {None}
    with zipfile.ZipFile(wheel) as archive:
        there = {name for name in archive.namelist() if ".dist-info/" not in name}
    assert there == expected
    assert len(expected) > 100


def test_the_wheel_brings_its_licence_and_command(wheel):
    with zipfile.ZipFile(wheel) as archive:
        names = archive.namelist()
        (entry,) = [name for name in names if name.endswith("entry_points.txt")]
        assert "unsnag = unsnag.cli:main" in archive.read(entry).decode()
    assert any(name.endswith("licenses/LICENSE") for name in names)


def environment(folder):
    """A fresh virtual environment that finds this one's libraries behind its own, so that nothing is downloaded."""
    run(sys.executable, "-m", "venv", folder)
    python = folder / ("Scripts" if os.name == "nt" else "bin") / "python"
    where = Path(run(python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))").strip())
    (where / "zz_libraries.pth").write_text(sysconfig.get_path("purelib") + "\n")
    return python


def outside():
    """The environment of a user: no path of the checkout."""
    return {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}


@pytest.fixture(scope="module")
def installed(wheel, tmp_path_factory):
    python = environment(tmp_path_factory.mktemp("fresh") / "venv")
    run(python, "-m", "pip", "install", "-q", "--no-deps", "--no-index", wheel, env=outside())
    return python


def ask(python, expression, cwd):
    code = f"import unsnag, unsnag_charts, unsnag.resources as resources; print({expression})"
    return Path(run(python, "-c", code, cwd=cwd, env=outside()).strip())


def test_an_installed_wheel_finds_its_own_folders(installed, tmp_path):
    inside = installed.parent.parent
    for expression in ("unsnag.__file__", "unsnag_charts.__file__", "resources.folder('sql')"):
        assert ask(installed, expression, tmp_path).is_relative_to(inside), expression


def test_the_demo_runs_from_the_wheel(installed, tmp_path):
    keep_one_question(ask(installed, "resources.folder('data_demo')", tmp_path))
    told = run(installed.with_name("unsnag"), "demo", cwd=tmp_path, env=outside() | {"COLUMNS": "200"})
    assert "Made in unsnag-demo/" in told and "BROKEN" not in told
    made = {path.name for path in (tmp_path / "unsnag-demo" / "out").rglob("*")}
    assert {"public.duckdb", "report.html", "manifest.json", "release_rates.csv"} <= made
    assert not (tmp_path / "unsnag-demo" / "truth").exists()


def test_an_editable_install_uses_the_checkout_at_once(checkout, tmp_path):
    python = environment(tmp_path / "venv")
    options = ["-q", "--no-deps", "--no-index", "--no-build-isolation"]
    run(python, "-m", "pip", "install", *options, "-e", checkout, env=outside())
    assert ask(python, "unsnag.__file__", tmp_path).is_relative_to(checkout)
    assert ask(python, "unsnag_charts.__file__", tmp_path).is_relative_to(checkout)
    assert ask(python, "resources.folder('sql')", tmp_path) == checkout / "sql"
    said = run(python.with_name("unsnag"), "--version", cwd=tmp_path, env=outside())
    assert said.strip() == "0.1.0"


def test_the_top_level_holds_only_what_the_house_allows():
    allowed = {
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "pyproject.toml",
        "pipeline",
        "sql",
        "dashboards",
        "data_demo",
    }
    top = {name.partition("/")[0] for name in tracked()}
    assert {name for name in top if not name.startswith(".")} <= allowed | {"tests"}


def test_ci_runs_the_command_that_the_readme_gives():
    """.ci/run takes the command out of README.md; here its own line of awk does, and finds it."""
    script = (CHECKOUT / ".ci" / "run").read_text(encoding="utf-8")
    (line,) = [line for line in script.splitlines() if line.startswith('command="$(')]
    command = run("bash", "-c", f'{line}; echo "$command"', cwd=CHECKOUT).strip()
    assert "-m venv .venv" in command and '-e ".[test]"' in command and "-m pytest" in command
    assert command in (CHECKOUT / "README.md").read_text(encoding="utf-8")
    assert 'bash -c "$command"' in script and "export UNSNAG_CI=1" in script and "set -euo pipefail" in script
    for linter in ("ruff check .", "ruff format --check .", "sqlfluff lint sql"):
        assert f".venv/bin/{linter}" in script, linter
