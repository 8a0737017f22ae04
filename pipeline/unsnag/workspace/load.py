"""Read a whole workspace, and gather what is wrong in all its files before saying anything."""

import csv
import hashlib
import re
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cache
from pathlib import Path

from unsnag import resources
from unsnag.errors import Problem, Problems
from unsnag.places import Places, read_places
from unsnag.workspace.clinic import PLAIN_NAME, Clinic
from unsnag.workspace.cohorts import Cohorts
from unsnag.workspace.decisions import LinkDecision, read_link_decisions
from unsnag.workspace.fields import all_fields, suggestion
from unsnag.workspace.gazetteer import Place, read_gazetteer
from unsnag.workspace.network import Network, Region
from unsnag.workspace.questions import Questions
from unsnag.workspace.settings_file import read_settings
from unsnag.workspace.shorthand import ShortWord, read_shorthand
from unsnag.workspace.siting import Siting, read_siting
from unsnag.workspace.terms import Term, read_terms

OUTSIDE = "outside"  # what a clinic or carer is called that shares no records


@dataclass(frozen=True)
class Workspace:
    """Everything that a run is told: settings, clinics, their words."""

    folder: Path
    network: Network
    clinics: tuple[Clinic, ...]
    terms: tuple[Term, ...]
    pseudonym_key: str
    questions: Questions
    gazetteer: tuple[Place, ...] = ()
    as_of: date | None = None
    cohorts: Cohorts = field(default_factory=Cohorts)
    places: Places = field(default_factory=Places)
    siting: Siting = field(default_factory=Siting)
    without_notes: bool = False
    link_decisions: tuple[LinkDecision, ...] = ()
    short_words: tuple[ShortWord, ...] = ()

    def made(self, room: str) -> Path:
        """The folder of what a run makes in ``store``, ``private`` or ``out``.

        A run as of a day, or without what was read in texts, keeps to its own.
        """
        folder = self.folder / room
        if self.as_of:
            folder = folder / "as-of" / self.as_of.isoformat()
        return folder / "without-notes" if self.without_notes else folder

    @property
    def is_aside(self) -> bool:
        """Whether a run stands beside the current output: of a past day, or without what was read in texts."""
        return self.as_of is not None or self.without_notes

    @property
    def store(self) -> Path:
        """The exact, private case database."""
        return self.made("store") / "cases.duckdb"

    @property
    def public(self) -> Path:
        """The publishable database."""
        return self.made("out") / "public.duckdb"

    @property
    def shorthand(self) -> dict[str, dict[str, str]]:
        """Clinic → what it writes in short → what that means; only clinics that have shorthand."""
        found: dict[str, dict[str, str]] = {}
        for word in self.short_words:
            found.setdefault(word.clinic, {})[word.written] = word.means
        return found

    def known_on(self, day: date | None) -> "Workspace":
        """The workspace with only what was decided by the end of a day: terms, shorthand, cohorts, planned comparisons.

        What has no day of its own counts as always decided. Exports dated later are left out on reading.
        """
        if day is None:
            return self
        terms = tuple(term for term in self.terms if term.decided is None or term.decided <= day)
        asked = tuple(question for question in self.questions.question if question.planned <= day)
        questions = self.questions.model_copy(update={"question": asked})
        cohorts = self.cohorts.known_on(day)
        links = tuple(item for item in self.link_decisions if item.decided is None or item.decided <= day)
        short = tuple(word for word in self.short_words if word.decided is None or word.decided <= day)
        return replace(
            self,
            terms=terms,
            questions=questions,
            cohorts=cohorts,
            link_decisions=links,
            short_words=short,
            as_of=day,
        )


@cache
def shared_codes() -> dict[str, frozenset[str]]:
    """Vocabulary → its codes, from sql/codes."""
    folder = resources.folder("sql") / "codes"
    names = sorted({item.vocabulary for item in all_fields() if item.kind == "term"})
    return {name: frozenset(_column(folder / f"{name}.csv", "code")) for name in names if name != "clinic"}


@cache
def withdrawn_codes() -> dict[tuple[str, str], date]:
    """(vocabulary, code) → the last day on which a code that was withdrawn may be used."""
    folder = resources.folder("sql") / "codes"
    ends = {}
    for name in shared_codes():
        path = folder / f"{name}.csv"
        for code, until in zip(_column(path, "code"), _column(path, "until"), strict=True):
            if until:
                ends[name, code] = date.fromisoformat(until)
    return ends


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
    network = read_settings(folder / "network.toml", Network, {}, problems)
    clinics, terms, short_words = [], [], []
    paths = sorted((folder / "clinics").glob("*/clinic.toml"))
    names = frozenset(path.parent.name for path in paths)
    codes = shared_codes() | {"clinic": names | {OUTSIDE}}
    for path in paths:
        # A folder's name that cannot be used is said of the folder, not of a key that stands in no file.
        name = path.parent.name if _is_plain(path.parent) else "clinic"
        clinics.append(read_settings(path, Clinic, {"name": name}, problems))
        words, wrong = read_terms(path.parent / "terms.csv", path.parent.name, codes)
        terms += words
        problems += wrong
        words, wrong = read_shorthand(path.parent / "shorthand.csv", path.parent.name)
        short_words += words
        problems += wrong
    problems += _strange_folders(folder / "clinics")
    planned = folder / "questions.toml"
    questions = read_settings(planned, Questions, {}, problems) if planned.is_file() else Questions()
    named = folder / "cohorts.toml"
    cohorts = read_settings(named, Cohorts, {}, problems) if named.is_file() else Cohorts()
    if questions and cohorts:
        problems += _strange_cohorts(planned, questions, cohorts)
    gazetteer, wrong = read_gazetteer(folder / "places" / "gazetteer.csv")
    problems += wrong
    places, wrong = read_places(folder / "places", network.region if network else Region())
    problems += wrong
    siting = read_siting(folder / "places" / "siting.toml", places, problems)
    decisions, wrong = read_link_decisions(folder / "decisions" / "links.csv", names)
    problems += wrong
    key = _pseudonym_key(folder / "decisions" / "pseudonyms.key", problems)
    if problems:
        raise Problems(problems)
    return Workspace(
        folder, network, tuple(clinics), tuple(terms), key, questions, gazetteer,
        cohorts=cohorts, places=places, siting=siting, link_decisions=decisions,
        short_words=tuple(short_words),
    )  # fmt: skip


def _strange_cohorts(path: Path, questions: Questions, cohorts: Cohorts) -> list[Problem]:
    """Planned comparisons that ask for a cohort which is not there, or was not when they were planned."""
    problems = []
    for number, question in enumerate(questions.question, 1):
        known = {cohort.name for cohort in cohorts.known_on(question.planned).cohort}
        if question.cohort and question.cohort not in known:
            what = f"no cohort '{question.cohort}' was decided by {question.planned}, when this was planned"
            remedy = suggestion(question.cohort, known) if known else "Define it in cohorts.toml"
            problems.append(Problem(f"{path}, key question.{number}.cohort", what, remedy))
    return problems


def _is_plain(folder: Path) -> bool:
    return re.match(PLAIN_NAME, folder.name) is not None


def _strange_folders(clinics: Path) -> list[Problem]:
    """Folders that would be left out in silence, or whose names no table can bear."""
    folders = sorted(path for path in clinics.glob("*") if path.is_dir() and not path.name.startswith("."))
    if not folders:
        add = "Add one folder for each clinic, with a clinic.toml in it"
        return [Problem(str(clinics), "there is no clinic", add)]
    unplain = "a clinic's folder is named in small letters, digits and single underscores"
    empty = "the folder holds no clinic.toml"
    return [Problem(str(path), unplain, "Rename the folder") for path in folders if not _is_plain(path)] + [
        Problem(str(path), empty, "Write one, or take the folder away")
        for path in folders
        if not (path / "clinic.toml").is_file()
    ]


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
