"""What several tests share: the demo network, built once a session, and how a test skips on a bare machine."""

import os
import shutil
from pathlib import Path

import networks
import pytest
from unsnag import resources

CHECKOUT = Path(__file__).resolve().parents[1]
INPUTS = ("network.toml", "questions.toml", "clinics", "places", "decisions")


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
    """The demo's inputs, without anything that a run has made; few replicates, because tests want no tight limits."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in INPUTS:
        origin = resources.folder("data_demo") / name
        (shutil.copytree if origin.is_dir() else shutil.copy)(origin, folder / name)
    questions = folder / "questions.toml"
    questions.write_text("[resampling]\nreplicates = 50\n\n" + questions.read_text(encoding="utf-8"), "utf-8")
    return folder


@pytest.fixture(scope="session")
def demo(tmp_path_factory) -> networks.Built:
    """The demo network, built and published; tests only read it."""
    folder = lay_out_demo(tmp_path_factory.mktemp("demo"))
    return networks.build(folder, publish=True)
