"""Where the tests of unsnag.stats find numbers from outside, and how they run the R scripts again."""

import csv
import io
import os
import shutil
import subprocess
import tomllib
from pathlib import Path

import numpy as np
import pytest

REFERENCE = Path(__file__).parent / "reference"
R_FOLDER = REFERENCE / "r"


def published(name):
    """A published reference, tests/reference/<name>.toml."""
    return tomllib.loads((REFERENCE / f"{name}.toml").read_text(encoding="utf-8"))


def columns_of(text):
    """CSV text as {column: array}: floats where every cell is a number, else text."""
    rows = list(csv.DictReader(io.StringIO(text)))
    return {name: _as_array([row[name] for row in rows]) for name in rows[0]}


def _as_array(cells):
    try:
        return np.array([float("nan" if cell == "NA" else cell) for cell in cells])
    except ValueError:
        return np.array(cells)


def r_data(name):
    """The input columns of an R data set, tests/reference/r/<name>.csv."""
    return columns_of((R_FOLDER / f"{name}.csv").read_text(encoding="utf-8"))


def r_output(name):
    """What an R script printed, as {quantity: value}."""
    kept = columns_of((R_FOLDER / f"{name}.out.csv").read_text(encoding="utf-8"))
    return dict(zip(kept["quantity"], kept["value"].tolist(), strict=True))


def skip_without_r(*packages):
    """Skip the test, with the reason, where R or one of its packages is missing."""
    if shutil.which("Rscript") is None:
        pytest.skip("Rscript is not installed")
    probe = "cat(Filter(function(p) !nzchar(system.file(package = p)), commandArgs(TRUE)))"
    missing = subprocess.run(["Rscript", "-e", probe, *packages], capture_output=True, text=True, check=True)
    if missing.stdout:
        pytest.skip(f"R packages not installed: {missing.stdout}")


def rerun_matches_kept(name, *packages):
    """Run an R script again and compare what it prints with what is kept."""
    skip_without_r(*packages)
    fresh = subprocess.run(
        ["Rscript", "--vanilla", f"{name}.R"], cwd=R_FOLDER, capture_output=True, text=True, check=True
    )
    fresh = columns_of(fresh.stdout)
    kept = r_output(name)
    assert list(fresh["quantity"]) == list(kept)
    np.testing.assert_allclose(fresh["value"], list(kept.values()), rtol=1e-6, atol=1e-10)


def shared_reference(path):
    """A file of the reference data beside the checkout, read in place; skip where it is absent."""
    default = Path(__file__).parents[2] / "shared" / "reference"
    file = Path(os.environ.get("UNSNAG_REFERENCE", default)) / path
    if not file.exists():
        pytest.skip(f"{path} is not in the reference folder (set UNSNAG_REFERENCE)")
    return file
