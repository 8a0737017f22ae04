"""Read a whole workspace, and gather what is wrong in all its files before saying anything."""

import csv
import hashlib
import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from pydantic import BaseModel, ValidationError

from unsnag import resources
from unsnag.errors import Problem, Problems
from unsnag.workspace.clinic import Clinic
from unsnag.workspace.fields import all_fields
from unsnag.workspace.network import Network
from unsnag.workspace.questions import Questions
from unsnag.workspace.terms import Term, read_terms


@dataclass(frozen=True)
class Workspace:
    """Everything that a run is told: settings, clinics, their words."""

    folder: Path
    network: Network
    clinics: tuple[Clinic, ...]
    terms: tuple[Term, ...]
    pseudonym_key: str
    questions: Questions

    @property
    def store(self) -> Path:
        """The exact, private case database."""
        return self.folder / "store" / "cases.duckdb"

    @property
    def public(self) -> Path:
        """The publishable database."""
        return self.folder / "out" / "public.duckdb"


@cache
def shared_codes() -> dict[str, frozenset[str]]:
    """Vocabulary → its codes, from sql/codes."""
    folder = resources.folder("sql") / "codes"
    names = sorted({item.vocabulary for item in all_fields() if item.kind == "term"})
    return {name: frozenset(_column(folder / f"{name}.csv", "code")) for name in names if name != "clinic"}


def _column(path: Path, column: str) -> list[str]:
    with path.open(encoding="utf-8", newline="") as stream:
        return [row[column] for row in csv.DictReader(stream)]


def load(folder: Path) -> Workspace:
    """Read ``network.toml`` and every ``clinics/*/``.

    Raises  Problems: with every problem of every file
    """
    folder = Path(folder).resolve()
    if not (folder / "network.toml").is_file():
        raise Problems(
            [
                Problem(
                    str(folder),
                    "this is no workspace: network.toml is missing",
                    "Give the folder that holds network.toml, or make one with: unsnag demo",
                )
            ]
        )
    problems: list[Problem] = []
    network = _read(folder / "network.toml", Network, {}, problems)
    clinics, terms = [], []
    paths = sorted((folder / "clinics").glob("*/clinic.toml"))
    codes = shared_codes() | {"clinic": frozenset(path.parent.name for path in paths)}
    for path in paths:
        clinics.append(_read(path, Clinic, {"name": path.parent.name}, problems))
        words, wrong = read_terms(path.parent / "terms.csv", path.parent.name, codes)
        terms += words
        problems += wrong
    if not paths:
        problems.append(
            Problem(
                str(folder / "clinics"),
                "there is no clinic",
                "Add one folder for each clinic, with a clinic.toml in it",
            )
        )
    planned = folder / "questions.toml"
    questions = _read(planned, Questions, {}, problems) if planned.is_file() else Questions()
    key = _pseudonym_key(folder / "decisions" / "pseudonyms.key", problems)
    if problems:
        raise Problems(problems)
    return Workspace(folder, network, tuple(clinics), tuple(terms), key, questions)


def _pseudonym_key(path: Path, problems: list[Problem]) -> str:
    """The secret that turns case ids into published ones; the same secret gives the same ids every year."""
    secret = path.read_bytes().strip() if path.is_file() else b""
    if not secret:
        problems.append(
            Problem(
                str(path),
                "there is no secret to make the published case ids with",
                "Write one long line of random letters into that file, keep it private, never change it",
            )
        )
    return hashlib.sha256(secret).hexdigest()


def _read(path: Path, model: type[BaseModel], extra: dict, problems: list[Problem]):
    try:
        content = tomllib.loads(path.read_text(encoding="utf-8-sig"))
        return model.model_validate(content | extra)
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        problems.append(
            Problem(str(path), f"the file cannot be read: {error}", "Correct that line and run again")
        )
    except ValidationError as error:
        problems.extend(_in_words(path, item) for item in error.errors())
    return None


def _in_words(path: Path, item: dict) -> Problem:
    """pydantic's finding as a sentence with the key as it stands in the file."""
    key = ".".join(str(part + 1) if isinstance(part, int) else part for part in item["loc"]) or "the file"
    what = item["msg"].removeprefix("Value error, ")
    remedy = {
        "extra_forbidden": "Remove the key or correct its spelling",
        "missing": "Add the key",
    }.get(item["type"], "Correct the value")
    said = {"extra_forbidden": "there is no such key", "missing": "the key is missing"}.get(
        item["type"], what
    )
    return Problem(f"{path}, key {key}", said, remedy)
