"""The rules as data: sql/codes/notes_rules.csv, _cues, _patterns and _words, checked and laid out once."""

import csv
import functools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from unsnag.errors import Problem
from unsnag.notes.patterns import Pattern, Patterns
from unsnag.notes.slips import Mender
from unsnag.resources import folder

STATUSES = ("present", "uncertain", "absent", "history")
RESULTS = ("success", "partial", "failed", "abandoned")
BLOCK = "not"
HELPER = "helper"


@dataclass(frozen=True, slots=True)
class Rule:
    """One row of notes_rules.csv.

    axis      : the field that it speaks for; ``not`` blocks the axes and codes in ``blocks``; ``helper`` is
                not reported
    needs     : patterns of which one must stand in the same sentence (``needs_in_note``: anywhere in the
                note)
    yields_to : codes beside which this rule says nothing, for they say more
    denied    : what a denial makes of it: absent, nothing, another code, ignore (it cannot be
                denied) or itself (neither can it, and the denial in its own words denies nothing else)
    doubted   : what a doubt makes of it: uncertain, nothing or ignore (it cannot be doubted)
    status    : how firm it is when no cue speaks
    result    : of an attempt to remove gear, if the rule's own words say it
    """

    id: str
    axis: str
    code: str
    why: str
    patterns: tuple[Pattern, ...] = ()
    needs: tuple[Pattern, ...] = ()
    needs_in_note: bool = False
    yields_to: frozenset[str] = frozenset()
    blocks: frozenset[str] = frozenset()
    denied: str = "absent"
    doubted: str = "uncertain"
    status: str = "present"
    result: str = ""


@dataclass(frozen=True, slots=True)
class Cue:
    """One row of notes_cues.csv: words that change the status or the result of what stands near them.

    sets    : a status or a result
    where   : before (the cue precedes what it changes) or after
    words   : at most so many words between them
    crosses : clause (no break between), list (breaks inside an enumeration), sentence, note; told and doubt mark what
              the note itself may settle (status.py)
    """

    id: str
    sets: str
    patterns: tuple[Pattern, ...]
    where: str
    words: int
    crosses: str
    axes: frozenset[str]
    why: str


@dataclass(frozen=True, eq=False)
class Rules:
    """Everything that reading a note needs, laid out.

    deep_sites : codes of body_site where swallowed gear lies
    attempts   : codes of procedure that try to take gear off or out, so that a result can be asked for
    """

    rules: tuple[Rule, ...]
    cues: tuple[Cue, ...]
    lists: dict[str, tuple[str, ...]]
    deep_sites: frozenset[str]
    attempts: frozenset[str]
    mender: Mender
    by_id: dict[str, Rule] = field(default_factory=dict)


class Wordings:
    """The patterns of each rule and cue, as notes_patterns.csv gives them: one wording a row.

    Raises  Problem: a pattern that cannot be understood
    """

    def __init__(self, path: Path, patterns: Patterns) -> None:
        self._patterns = patterns
        self._found: dict[str, tuple[Pattern, ...]] = {}
        self._places: dict[str, str] = {}
        self._used: set[str] = set()
        for row, where in _rows(path):
            self._found[row["rule"]] = self._found.get(row["rule"], ()) + self.read(row["pattern"], where)
            self._places.setdefault(row["rule"], where)

    def read(self, cell: str, where: str) -> tuple[Pattern, ...]:
        """The patterns of a cell, with ``;`` between them."""
        try:
            return self._patterns.of(cell)
        except KeyError as missing:
            raise Problem(
                where, f"there is no word list {missing}", "Name a list of notes_words.csv."
            ) from None
        except ValueError as wrong:
            raise Problem(where, str(wrong), "Write a pattern, or take out the ';' too many.") from None

    def of(self, name: str, where: str) -> tuple[Pattern, ...]:
        """The patterns of a rule or cue; without any it could never fire."""
        if name not in self._found:
            raise Problem(where, f"'{name}' has no wording", "Write a row for it in notes_patterns.csv.")
        self._used.add(name)
        return self._found[name]

    def check_all_used(self) -> None:
        """Raises  Problem: patterns of a rule or cue that does not exist."""
        for name in self._found.keys() - self._used:
            raise Problem(
                self._places[name],
                f"there is no rule and no cue '{name}'",
                "Name an id of notes_rules.csv or notes_cues.csv.",
            )


@functools.cache
def load_rules(codes: Path | None = None) -> Rules:
    """The rules of a folder of code lists; by default the shipped ``sql/codes``.

    Raises  Problem: a row that cannot be understood, with its file and line
    """
    codes = codes or folder("sql") / "codes"
    lists = _lists(codes / "notes_words.csv")
    patterns = Patterns(lists)
    wordings = Wordings(codes / "notes_patterns.csv", patterns)
    rules = tuple(_rule(row, where, wordings) for row, where in _rows(codes / "notes_rules.csv"))
    cues = tuple(_cue(row, where, wordings) for row, where in _rows(codes / "notes_cues.csv"))
    wordings.check_all_used()
    sites = [row for row, _ in _rows(codes / "body_site.csv")]
    procedures = [row for row, _ in _rows(codes / "procedure.csv")]
    return Rules(
        rules,
        cues,
        lists,
        frozenset(row["code"] for row in sites if row["is_deep"] == "yes"),
        frozenset(row["code"] for row in procedures if row["is_attempt_at_removal"] == "yes"),
        Mender(_literals(rules, cues), lists["slips_of"], lists["no_slips"], lists["contracted"]),
        {rule.id: rule for rule in rules},
    )


def _rows(path: Path) -> Iterator[tuple[dict[str, str], str]]:
    with path.open(encoding="utf-8", newline="") as file:
        reader = csv.DictReader(file)
        for row in reader:
            where = f"{path.name}, line {reader.line_num}"
            if None in row or None in row.values():
                raise Problem(
                    where,
                    "the row has another number of cells than the header",
                    "Put cells with a comma in quotes.",
                )
            yield row, where


def _lists(path: Path) -> dict[str, tuple[str, ...]]:
    lists: dict[str, tuple[str, ...]] = {}
    for row, _ in _rows(path):
        lists[row["name"]] = lists.get(row["name"], ()) + tuple(row["words"].split("|"))
    return lists


def _rule(row: dict[str, str], where: str, wordings: Wordings) -> Rule:
    needs, in_note = row["needs"].removeprefix("note:"), row["needs"].startswith("note:")
    return Rule(
        row["id"],
        row["axis"],
        row["code"],
        row["why"],
        wordings.of(row["id"], where),
        wordings.read(needs, where) if needs else (),
        in_note,
        frozenset(row["yields_to"].split()),
        frozenset(row["code"].split()) if row["axis"] == BLOCK else frozenset(),
        row["denied"] or "absent",
        row["doubted"] or "uncertain",
        row["status"] or "present",
        row["result"],
    )


def _cue(row: dict[str, str], where: str, wordings: Wordings) -> Cue:
    if row["sets"] not in STATUSES + RESULTS:
        allowed = ", ".join(STATUSES + RESULTS)
        raise Problem(where, f"'{row['sets']}' is no status and no result", f"Write one of {allowed}.")
    return Cue(
        row["id"],
        row["sets"],
        wordings.of(row["id"], where),
        row["where"],
        int(row["words"]),
        row["crosses"],
        frozenset(row["axes"].split()),
        row["why"],
    )


def _literals(rules: Iterable[Rule], cues: Iterable[Cue]) -> set[str]:
    """Every word that some pattern can start an element with, or any part of one: those are no slips."""
    used = [pattern for rule in rules for pattern in rule.patterns + rule.needs]
    used += [pattern for cue in cues for pattern in cue.patterns]
    return {word for pattern in used for word in pattern.words}
