"""What several tests share: the demo network, built once a session, and how a test skips on a bare machine."""

import os
import re
import shutil
from pathlib import Path

import networks
import pytest
from unsnag import resources

CHECKOUT = Path(__file__).resolve().parents[1]
INPUTS = ("network.toml", "questions.toml", "cohorts.toml", "clinics", "places", "decisions")


def skip_unless_ci(reason: str) -> None:
    """Skip where something is not installed; fail where it must be, so that CI never skips in silence."""
    if os.environ.get("UNSNAG_CI") == "1":
        pytest.fail(f"{reason}; with UNSNAG_CI=1 that is a failure")
    pytest.skip(reason)


def reference_folder() -> Path:
    """The folder with published data: $UNSNAG_REFERENCE, or ../shared/reference beside the checkout."""
    default = CHECKOUT.parent / "shared" / "reference"
    return Path(os.environ.get("UNSNAG_REFERENCE") or default)


def lay_out_demo(folder: Path) -> Path:
    """The demo's inputs, without anything that a run has made."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in INPUTS:
        origin = resources.folder("data_demo") / name
        (shutil.copytree if origin.is_dir() else shutil.copy)(origin, folder / name)
    return folder


def keep_one_question(folder: Path, name: str = "endoscopy_or_surgery_first") -> Path:
    """One planned comparison with few replicates: all of them take minutes, and have tests of their own."""
    questions = folder / "questions.toml"
    blocks = questions.read_text(encoding="utf-8").split("[[question]]")
    (kept,) = [block for block in blocks if f'name = "{name}"' in block]
    head = re.sub(r"replicates = \d+", "replicates = 50", blocks[0])
    text = f"{head}[[question]]{kept}"
    questions.write_text(text, encoding="utf-8")
    return folder


@pytest.fixture(scope="session")
def demo(tmp_path_factory) -> networks.Built:
    """The demo network, built and published; tests only read it."""
    folder = keep_one_question(lay_out_demo(tmp_path_factory.mktemp("demo")))
    return networks.build(folder, publish=True)


@pytest.fixture(scope="module")
def browser():
    """Chromium, as Debian ships it."""
    path = shutil.which("chromium")
    if not path:
        skip_unless_ci("Chromium is not installed")
    sync_api = pytest.importorskip("playwright.sync_api")
    with sync_api.sync_playwright() as player:
        chromium = player.chromium.launch(executable_path=path, args=["--no-sandbox", "--disable-gpu"])
        yield chromium
        chromium.close()
