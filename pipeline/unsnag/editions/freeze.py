"""Keep a year's report as it is: a copy that is never written again, its hashes, and what it rests on."""

import hashlib
import json
import shutil
from dataclasses import dataclass
from pathlib import Path

from unsnag.databases import reading
from unsnag.editions.inputs import CASES, Inputs, inputs
from unsnag.errors import Problem
from unsnag.workspace import Workspace

PARTS = ("report.html", "report.pdf", "explorer.html", "manifest.json", "tables", "pictures")
HASHES = "SHA256SUMS"


@dataclass(frozen=True)
class Edition:
    """A published edition.

    version : twelve digits of the hash over all its files, by which a paper can name it
    """

    folder: Path
    year: int
    number: int
    version: str


def newest(workspace: Workspace, year: int) -> Edition | None:
    """The newest edition of a year, or nothing if none was published."""
    numbers = [int(path.name) for path in _editions(workspace, year).glob("*") if path.name.isdigit()]
    if not numbers:
        return None
    folder = _editions(workspace, year) / str(max(numbers))
    return Edition(folder, year, max(numbers), _version((folder / HASHES).read_text(encoding="utf-8")))


def freeze(workspace: Workspace, year: int, manifest: dict, reason: str = "") -> Edition:
    """Copy ``out/<year>/`` to a new edition and record what it rests on.

    manifest : what a report made now would rest on; it must be what out/<year>/ rests on
    reason   : why there is another edition; asked for from the second one on

    Raises  Problem: the report is not there or not of this store, or a second edition has no reason
    """
    made = workspace.made("out") / str(year)
    _require_current(workspace, year, made, manifest)
    before = newest(workspace, year)
    if before and not reason:
        what = f"edition {before.number} (version {before.version}) is published already"
        raise Problem(f"editions/{year}", what, 'Say why there is another: --reason "…"')
    number = before.number + 1 if before else 1
    folder = _editions(workspace, year) / str(number)
    for name in PARTS:
        if (made / name).exists():
            _copy(made / name, folder / name)
    hashes = sums(folder)
    edition = Edition(folder, year, number, _version(hashes))
    (folder / "citation.txt").write_text(_citation(workspace, edition, manifest), encoding="utf-8")
    (folder / HASHES).write_text(hashes, encoding="utf-8")
    _record(workspace, edition, reason)
    return edition


def _editions(workspace: Workspace, year: int) -> Path:
    return workspace.folder / "editions" / str(year)


def recorded(workspace: Workspace, edition: Edition) -> Path:
    """The private folder with what an edition rests on."""
    return workspace.folder / "private" / "editions" / str(edition.year) / str(edition.number)


def _require_current(workspace: Workspace, year: int, made: Path, manifest: dict) -> None:
    found = made / "manifest.json"
    run_first = f"First run: unsnag run {workspace.folder.name} --year {year}"
    if not found.is_file():
        raise Problem(f"out/{year}", "the report of this year has not been made", run_first)
    if json.loads(found.read_text(encoding="utf-8")) != json.loads(json.dumps(manifest)):
        raise Problem(f"out/{year}", "the report does not rest on what the workspace holds now", run_first)


def _copy(origin: Path, to: Path) -> None:
    to.parent.mkdir(parents=True, exist_ok=True)
    (shutil.copytree if origin.is_dir() else shutil.copyfile)(origin, to)


def sums(folder: Path) -> str:
    """A line for each file below a folder, as ``sha256sum --check`` reads it."""
    files = sorted(path for path in folder.rglob("*") if path.is_file() and path.name != HASHES)
    return "".join(
        f"{hashlib.sha256(path.read_bytes()).hexdigest()}  {path.relative_to(folder).as_posix()}\n"
        for path in files
    )


def _version(hashes: str) -> str:
    kept = [line for line in hashes.splitlines() if not line.endswith("  citation.txt")]
    return hashlib.sha256("\n".join(kept).encode()).hexdigest()[:12]


def _citation(workspace: Workspace, edition: Edition, manifest: dict) -> str:
    return (
        f"{workspace.network.name}: Animals injured by fishing tackle, outcome report {edition.year}, "
        f"edition {edition.number}, version {edition.version}. Cases as they stood on {manifest['as_of']}. "
        f"Made with unsnag {manifest['unsnag']}.\n"
    )


def _record(workspace: Workspace, edition: Edition, reason: str) -> None:
    """What it rests on, and a hash of every case, so that a later run can say which ones changed."""
    folder = recorded(workspace, edition)
    folder.mkdir(parents=True, exist_ok=True)
    rests_on: Inputs = inputs(workspace)
    record = {"year": edition.year, "edition": edition.number, "version": edition.version, "reason": reason}
    text = json.dumps(record | vars(rests_on), indent=2, ensure_ascii=False, sort_keys=True)
    (folder / "record.json").write_text(text + "\n", encoding="utf-8")
    with reading(workspace.store) as connection:
        connection.sql(CASES).write_parquet(str(folder / "cases.parquet"))
