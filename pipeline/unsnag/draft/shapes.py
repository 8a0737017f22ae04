"""Columns that tell of more than one thing: repeated ones ("Treatment 1, Date 1, Treatment 2 …") and several facts
in one cell ("12/3: in place; 19/3: moved")."""

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from unsnag.draft import headings
from unsnag.draft.columns import Column, Value
from unsnag.draft.days import is_dates
from unsnag.draft.guess import LIKELY, Guess, guesses
from unsnag.draft.vocabularies import Vocabularies
from unsnag.layout_cells import MAIN_FIELDS
from unsnag.layout_facts import DAY
from unsnag.read.names import fold
from unsnag.workspace.blocks import NUMBER

NUMBERED = re.compile(r"^(.*?)(\d{1,2}|\b[A-H]\b)((?:(?!\b[A-H]\b)\D)*)$")
COUNTS = (tuple(map(str, range(1, 100))), tuple("ABCDEFGH"))
PARTING = (";", "|", "\n", " / ", ",")
PYTHON_DAY = DAY.replace(r"\pL", r"[^\W\d_]")
SEVERAL_FROM = 0.2


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


def facts_block(column: Column, words: Vocabularies) -> Block | None:
    """A block for a column whose cells hold several dated facts, if their words are ones that repeat."""
    several = sum(value.times for value in column.said if value.days >= 2)
    if column.filled < 3 or several < SEVERAL_FROM * column.filled:
        return None
    texts = [value.text for value in column.said for _ in range(value.times)]
    between = _parting(texts)
    pieces = [piece.strip() for text in texts for piece in _pieces(text, between) if piece.strip()]
    sign = _sign_behind_day(pieces)
    if sign is None:
        return None
    said = Counter(re.sub(rf"^{PYTHON_DAY}", "", piece).strip(" =:-–") for piece in pieces)
    facts = Counter({fold(text): 0 for text in said})
    for text, times in said.items():
        facts[fold(text)] += times
    record = max(("finding", "procedure"), key=lambda name: _speaks_for(name, column.name, facts, words))
    # Prose with days in it is a diary, and read by the rules for notes.
    if len(facts) > 0.5 * len(pieces) and words.share_known(record, facts) < 0.3:
        return None
    form = f"{{{record}_date}}{sign}{{{MAIN_FIELDS[record]}}}"
    yearless = not any(re.search(r"\d{4}|\d[-/.]\d{1,2}[-/.]\d", piece) for piece in pieces)
    return Block(
        record,
        (),
        facts=(column.name, between, form),
        members=(column.name,),
        lacks_years=yearless,
        told=tuple(sorted(said.items())),
    )


def _parting(texts: Sequence[str]) -> str:
    """What parts facts; "" if nothing does and each begins with its day."""
    for sign in PARTING:
        pieces = [piece for text in texts for piece in text.split(sign) if piece.strip()]
        dated = [len(re.findall(PYTHON_DAY, piece)) for piece in pieces]
        if dated and sum(count == 1 for count in dated) >= 0.85 * len(dated):
            return sign
    return ""


def _pieces(text: str, between: str) -> list[str]:
    if between:
        return text.split(between)
    return re.sub(f"({PYTHON_DAY})", "\x1f\\1", text).split("\x1f")


def _sign_behind_day(pieces: Sequence[str]) -> str | None:
    """What stands between a fact's day and its words, if most facts begin with their day."""
    signs = Counter(
        match[1] for piece in pieces if (match := re.match(rf"{PYTHON_DAY}(\s*[:–=-]\s*|\s+)", piece))
    )
    if sum(signs.values()) < 0.7 * len(pieces):
        return None
    sign = signs.most_common(1)[0][0].strip()
    return f"{sign} " if sign else " "


def _speaks_for(record: str, name: str, facts: Counter[str], words: Vocabularies) -> float:
    heading = headings.likeness(name, record, MAIN_FIELDS[record])
    return heading + words.share_known(record, facts)
