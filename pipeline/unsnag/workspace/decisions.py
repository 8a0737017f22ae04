"""decisions/links.csv: what a steward decided about two stays, to be obeyed for ever."""

from collections.abc import Iterable
from datetime import date
from pathlib import Path
from typing import NamedTuple

from unsnag.csv_text import unguarded
from unsnag.errors import Problem
from unsnag.workspace.csv_rows import read_rows

COLUMNS = (
    "first_clinic",
    "first_case_number",
    "second_clinic",
    "second_case_number",
    "decision",
    "decided",
    "why",
)
HEADING = ",".join(COLUMNS)
DECISIONS = ("same", "different")


class LinkDecision(NamedTuple):
    """Two stays, by clinic and case number, and whether they are one animal; ``decided`` is the day of the decision."""

    first_clinic: str
    first_case_number: str
    second_clinic: str
    second_case_number: str
    decision: str
    decided: date | None
    why: str
    line: int

    @property
    def stays(self) -> tuple[str, str]:
        """The ids of the two stays, in the order of the alphabet."""
        first = f"{self.first_clinic}:{self.first_case_number}"
        return tuple(sorted((first, f"{self.second_clinic}:{self.second_case_number}")))


def read_link_decisions(path: Path, clinics: Iterable[str]) -> tuple[tuple[LinkDecision, ...], list[Problem]]:
    """The decisions of a file, none if it is missing, and one problem for each line that cannot be obeyed."""
    try:
        rows = read_rows(path, COLUMNS, f"Start the file with: {HEADING}")
    except Problem as problem:
        return (), [problem]
    clinics = sorted(clinics)
    read = [_decision(path, line, row, clinics) for line, row in rows]
    decisions = [item for item in read if isinstance(item, LinkDecision)]
    problems = [item for item in read if isinstance(item, Problem)]
    return tuple(decisions), problems + _contradictions(path, decisions)


def _decision(path: Path, line: int, row: dict, clinics: list[str]) -> LinkDecision | Problem:
    where = f"{path}, line {line}"
    said = {name: unguarded((row[name] or "").strip()) for name in COLUMNS}
    for side in ("first_clinic", "second_clinic"):
        if said[side] not in clinics:
            return Problem(where, f"there is no clinic '{said[side]}'", f"Use one of: {', '.join(clinics)}")
    if not said["first_case_number"] or not said["second_case_number"]:
        return Problem(where, "a case number is missing", "Write both, as unsnag links shows them")
    if said["decision"] not in DECISIONS:
        return Problem(where, f"'{said['decision']}' is no decision", "Write same or different")
    if not said["why"]:
        return Problem(
            where, "the reason is missing", "Write under why what decided it, for those who ask later"
        )
    try:
        said["decided"] = date.fromisoformat(said["decided"]) if said["decided"] else None
    except ValueError:
        wrong = f"'{said['decided']}' is no date"
        return Problem(where, wrong, "Write decided as 2024-07-05, or leave it empty")
    decision = LinkDecision(**said, line=line)
    if decision.stays[0] == decision.stays[1]:
        return Problem(where, "both sides are one stay", "Name two stays, or delete the row")
    return decision


def _contradictions(path: Path, decisions: list[LinkDecision]) -> list[Problem]:
    """One pair decided twice in two ways, or two stays told apart that others make one animal."""
    first_of: dict[tuple[str, str], LinkDecision] = {}
    problems = []
    for decision in decisions:
        first = first_of.setdefault(decision.stays, decision)
        if first.decision != decision.decision:
            where = f"{path}, lines {first.line} and {decision.line}"
            what = f"{' and '.join(decision.stays)} are called both same and different"
            problems.append(Problem(where, what, "Keep one of the two rows"))
    return problems + _told_apart_within(path, list(first_of.values()))


def _told_apart_within(path: Path, decisions: list[LinkDecision]) -> list[Problem]:
    """A is B, B is C, yet A is not C."""
    group_of: dict[str, str] = {}

    def group(stay: str) -> str:
        while stay in group_of:
            stay = group_of[stay]
        return stay

    for decision in decisions:
        first, second = map(group, decision.stays)
        if decision.decision == "same" and first != second:
            group_of[second] = first
    direct = {decision.stays for decision in decisions if decision.decision == "same"}
    return [
        Problem(
            f"{path}, line {decision.line}",
            f"{' and '.join(decision.stays)} are called different, but other rows make them one animal",
            "Correct one of the rows about these stays",
        )
        for decision in decisions
        if decision.decision == "different"
        and decision.stays not in direct
        and group(decision.stays[0]) == group(decision.stays[1])
    ]
