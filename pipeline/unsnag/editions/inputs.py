"""What an edition rests on: the exports, the decisions and the code, each as a hash."""

import hashlib
from dataclasses import dataclass
from pathlib import Path

from unsnag import __version__, resources
from unsnag.databases import reading
from unsnag.workspace import Workspace

# Whether a case changed is told from all that is known of it, exactly; only hashes of it are kept.
CASES = "select case_id, md5(cases::varchar) as content from mart.cases as cases order by case_id"

# Decisions by their kind: clinics are not named in what may be handed on.
DECISIONS = {
    "the network's settings": ("network.toml",),
    "planned questions": ("questions.toml",),
    "cohorts": ("cohorts.toml",),
    "reviewed links": ("decisions/links.csv",),
    "clinics' layouts": ("clinics/*/clinic.toml",),
    "clinics' words": ("clinics/*/terms.csv", "clinics/*/shorthand.csv"),
    "places": ("places/*",),
}


@dataclass(frozen=True)
class Inputs:
    """Hashes of what a report rests on.

    exports   : sha256 of each export file, sorted
    decisions : kind of decision → {file: sha256}
    code      : version of the program and hash of its own files
    """

    exports: list[str]
    decisions: dict[str, dict[str, str]]
    code: dict[str, str]


def inputs(workspace: Workspace) -> Inputs:
    """What a report made from the store as it is now rests on."""
    with reading(workspace.store) as connection:
        exports = [row[0] for row in connection.execute("select sha256 from raw.files order by 1").fetchall()]
    decisions = {kind: _hashes(workspace.folder, patterns) for kind, patterns in DECISIONS.items()}
    return Inputs(exports, decisions, {"version": __version__, "files": code_hash()})


def _hashes(folder: Path, patterns: tuple[str, ...]) -> dict[str, str]:
    files = sorted(path for pattern in patterns for path in folder.glob(pattern) if path.is_file())
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest() for path in files
    }


def code_hash() -> str:
    """One hash over everything that can change a figure or its picture: SQL, code lists, Python, templates."""
    roots = [resources.folder("sql"), resources.folder("dashboards"), resources.PACKAGE]
    digest = hashlib.sha256()
    for root in roots:
        for path in sorted(root.rglob("*")):
            if (
                path.is_file()
                and "__pycache__" not in path.parts
                and "shipped" not in path.parts[len(root.parts) :]
            ):
                digest.update(path.relative_to(root).as_posix().encode() + b"\0" + path.read_bytes() + b"\0")
    return digest.hexdigest()
