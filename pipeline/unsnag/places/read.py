"""places/councils, places/sites and places/bins → Places, or every problem of every file at once."""

from collections import Counter
from collections.abc import Callable
from itertools import combinations
from operator import attrgetter
from pathlib import Path
from typing import TypeVar

from unsnag.errors import Problem
from unsnag.places.bins import bin_of
from unsnag.places.places import Council, Places
from unsnag.places.points import Box
from unsnag.places.records import Record, records
from unsnag.places.sites import council_of, site_of

Kind = TypeVar("Kind")
# Neighbours drawn from different maps overlap by slivers; more than this share of the smaller is a slip.
OVERLAP = 0.01


def read_places(folder: Path, region: Box) -> tuple[Places, list[Problem]]:
    """The places of a workspace, none if it has none, and what is wrong in all their files.

    folder  : the workspace's ``places``
    region  : the box that every place must lie in
    """
    problems: list[Problem] = []
    notes: list[str] = []
    councils = _each(folder, "councils", lambda record: council_of(record, region, notes), problems)
    problems += _twice(councils, "council") + _overlapping(councils)
    sites = _each(folder, "sites", lambda record: site_of(record, region, councils), problems)
    problems += _twice(sites, "site_id")
    bins = _each(folder, "bins", lambda record: bin_of(record, region, sites), problems)
    problems += _twice(bins, "bin_id")
    return Places(
        tuple(sorted(councils, key=attrgetter("council"))),
        tuple(sorted(sites, key=attrgetter("site_id"))),
        tuple(sorted(bins, key=attrgetter("bin_id"))),
        tuple(notes),
    ), problems


def _each(folder: Path, name: str, made_of: Callable[[Record], Kind], problems: list[Problem]) -> list[Kind]:
    """One object a record; what is wrong with a record goes to the problems."""
    given, wrong = records(folder, name)
    problems += wrong
    made = []
    for record in given:
        try:
            made.append(made_of(record))
        except Problem as problem:
            problems.append(problem)
    return made


def _twice(things: list[Kind], key: str) -> list[Problem]:
    """One problem for every id that stands more than once."""
    counted = Counter(getattr(thing, key) for thing in things)
    return [
        Problem(thing.where, f"the {key} '{getattr(thing, key)}' stands more than once", "Keep one of them")
        for number, thing in enumerate(things)
        if counted[getattr(thing, key)] > 1
        and getattr(thing, key) in {getattr(earlier, key) for earlier in things[:number]}
    ]


def _overlapping(councils: list[Council]) -> list[Problem]:
    problems = []
    for one, other in combinations(councils, 2):
        shared = one.area.intersection(other.area).area
        if shared > OVERLAP * min(one.area.area, other.area.area):
            both = f"the areas of {one.council} and {other.council} overlap"
            problems.append(Problem(other.where, both, "Correct them: a case there would belong to both"))
    return problems
