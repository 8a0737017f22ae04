"""Columns that repeat ("Treatment 1, Date 1, Treatment 2 …"), and which record a group of columns is."""

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from unsnag.draft import headings
from unsnag.draft.columns import Column, Value
from unsnag.draft.days import is_dates
from unsnag.draft.decimals import is_numbers
from unsnag.draft.guess import LIKELY, Guess, guesses
from unsnag.draft.vocabularies import Vocabularies
from unsnag.layout_cells import MAIN_FIELDS
from unsnag.workspace.blocks import NUMBER

NUMBERED = re.compile(r"^(.*?)(\d{1,2}|\b[A-H]\b)((?:(?!\b[A-H]\b)\D)*)$")
COUNTS = (tuple(map(str, range(1, 100))), tuple("ABCDEFGH"))


class Family(NamedTuple):
    """Columns that differ by a number only; ``column`` stands for all of them, its name with {n}."""

    numbers: tuple[str, ...]
    column: Column
    members: tuple[str, ...]


@dataclass(frozen=True)
class Block:
    """A child block of the draft.

    constants : field → a fixed value
    facts     : (column, between, form) if one cell holds several facts
    members   : the columns that it reads
    lacks_years, told: whether the days of its facts have no year, and what the facts say, with their numbers
    each      : the nested list whose objects it takes, and where: (key, value) of only those
    """

    record: str
    guesses: tuple[Guess, ...]
    numbers: tuple[str, ...] = ()
    constants: tuple[tuple[str, str], ...] = ()
    facts: tuple[str, str, str] | None = None
    each: str | None = None
    members: tuple[str, ...] = ()
    where: tuple[str, str] | None = None
    lacks_years: bool = False
    told: tuple[tuple[str, int], ...] = ()


def families(columns: Sequence[Column]) -> list[Family]:
    """Columns that repeat with 1, 2 … or A, B … in their names."""
    found: dict[tuple[str, str], dict[str, Column]] = {}
    for column in columns:
        if match := NUMBERED.match(column.name):
            found.setdefault((match[1], match[3]), {})[match[2]] = column
    repeated = []
    for (before, after), members in found.items():
        numbers = next(
            (count[: len(members)] for count in COUNTS if set(count[: len(members)]) == set(members)), ()
        )
        if len(numbers) >= 2:
            ordered = [members[number] for number in numbers]
            column = _together(before + NUMBER + after, ordered)
            repeated.append(Family(numbers, column, tuple(member.name for member in ordered)))
    return sorted(repeated, key=lambda family: family.column.position)


def _together(name: str, columns: Sequence[Column]) -> Column:
    """One column with the cells of all."""
    times: Counter[str] = Counter()
    first: dict[str, Value] = {}
    for column in columns:
        for value in column.values:
            times[value.text] += value.times
            first.setdefault(value.text, value)
    ordered = sorted(times, key=lambda text: (-times[text], text))
    values = tuple(replace(first[text], times=times[text]) for text in ordered)
    return Column(name, columns[0].position, sum(column.rows for column in columns), values)


def repeated_blocks(columns: Sequence[Column], words: Vocabularies) -> list[Block]:
    """A block for each group of families that stand together."""
    blocks, group = [], []
    for family in families(columns):
        if group and not _goes_with(group, family):
            blocks.append(group)
            group = []
        group.append(family)
    blocks += [group] if group else []
    drafted = [_block_of(group, words) for group in blocks]
    return [block for block in drafted if block is not None]


def _goes_with(group: list[Family], family: Family) -> bool:
    """Same numbers, side by side, and not a second thing."""
    last = group[-1]
    step = family.column.position - last.column.position
    is_second = _names_a_thing(family.column) and any(_names_a_thing(other.column) for other in group)
    return family.numbers == last.numbers and step in (1, len(family.numbers)) and not is_second


def _names_a_thing(column: Column) -> bool:
    name = _without_number(column.name)
    is_thing = any(headings.likeness(name, record, main) >= 1 for record, main in MAIN_FIELDS.items())
    return is_thing and not is_dates(column)


def _without_number(name: str) -> str:
    return name.replace(NUMBER, " ").strip()


def _block_of(group: list[Family], words: Vocabularies) -> Block | None:
    bare = [replace(family.column, name=_without_number(family.column.name)) for family in group]
    members = tuple(name for family in group for name in family.members)
    best = best_record(bare, words)
    if best is None:
        return None
    named = {column.position: family.column for column, family in zip(bare, group, strict=True)}
    renamed = tuple(replace(guess, column=named[guess.column.position]) for guess in best.guesses)
    return replace(best, guesses=renamed, numbers=group[0].numbers, members=members)


def best_record(columns: Sequence[Column], words: Vocabularies) -> Block | None:
    """The kind of record that the columns fit best: one with a word for the thing, or a value and what it measures."""
    options = []
    for record, main in MAIN_FIELDS.items():
        found = tuple(guess for guess in guesses(record, columns, words) if guess.field != "case_number")
        fields = {guess.field: guess.score for guess in found}
        is_measured = record == "finding" and main not in fields and fields.get("finding_value", 0) >= LIKELY
        constant = _measured(columns, words) if is_measured else None
        if fields.get(main, 0) >= LIKELY or constant:
            block = Block(record, found, constants=((main, constant),) if constant else ())
            options.append((fields.get(main, LIKELY), sum(fields.values()), -len(options), block))
    return max(options, key=lambda option: option[:3])[3] if options else None


def _measured(columns: Sequence[Column], words: Vocabularies) -> str | None:
    """The finding that a heading itself names, as "Lead (ug/dL)" does."""
    known = words.codes.get("finding", {})
    for column in columns:
        for word in (headings.bare(column.name), *headings.bare(column.name).split()):
            if known.get(word) == "lead_level":
                return "lead_level"
    return None


def measured_block(column: Column, words: Vocabularies) -> Block | None:
    """A lead level that stands by itself, its unit and name in its heading."""
    constant = _measured([column], words) if is_numbers(column) else None
    if constant is None:
        return None
    unit = "ug/dL" if re.search(r"[uµμ]g ?/ ?dl", column.name.lower()) else ""
    constants = (("finding", constant), *((("finding_unit", unit),) if unit else ()))
    guess = Guess("finding", "finding_value", column, LIKELY)
    return Block("finding", (guess,), constants=constants, members=(column.name,))
