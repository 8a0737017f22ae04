"""The draft of one source: its tables read as the reading room reads them, and a field guessed for each column."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from pathlib import Path

import duckdb

from unsnag.draft import days, decimals, headings, years
from unsnag.draft.answers import Answers
from unsnag.draft.columns import Column, columns_of, totals_word
from unsnag.draft.days import is_dates
from unsnag.draft.facts import facts_block
from unsnag.draft.guess import LIKELY, Guess, guesses, private_columns
from unsnag.draft.nested import nested_blocks
from unsnag.draft.shapes import Block, best_record, measured_block, repeated_blocks
from unsnag.draft.sniff import Table
from unsnag.draft.vocabularies import Vocabularies
from unsnag.layout_cells import MAIN_FIELDS
from unsnag.read.names import column_key
from unsnag.read.reading import read_source
from unsnag.read.source import SourceLayout
from unsnag.read.tables import table_name

NAME_PATTERNS = {"%Y-%m-%d": r"(?<!\d)20\d\d-\d\d-\d\d(?!\d)", "%Y%m%d": r"(?<!\d)20\d{6}(?!\d)",
                 "%Y_%m_%d": r"(?<!\d)20\d\d_\d\d_\d\d(?!\d)"}  # fmt: skip

ENOUGH = 5  # rows from which on it says something that no number repeats
NO_ORDER, NO_SIGN = days.Order("", ""), decimals.Sign("", "")


@dataclass
class Draft:
    """What is thought of one source, and what has to be asked.

    restarts : the column whose year makes the case numbers unique
    year_of  : what completes days without a year
    """

    name: str
    files: str
    table: Table
    columns: list[Column]
    record: str = "stay"
    export_date: str = ""
    order: days.Order = NO_ORDER
    sign: decimals.Sign = NO_SIGN
    totals: str = ""
    guesses: list[Guess] = field(default_factory=list)
    blocks: list[Block] = field(default_factory=list)
    private: dict[str, str] = field(default_factory=dict)
    restarts: str = ""
    stamps_in: str = ""
    year_of: str = ""
    questions: list[str] = field(default_factory=list)

    def guess(self, name: str) -> Guess | None:
        """The guess for a field of the source's own record."""
        return next((guess for guess in self.guesses if guess.field == name and guess.is_used), None)

    @property
    def unused(self) -> list[Column]:
        """Columns that nothing reads."""
        used = {name for guess in self.guesses if guess.is_used for name in (guess.column.name, *guess.also)}
        used |= set(self.private)
        for block in self.blocks:
            used |= {guess.column.name for guess in block.guesses} | set(block.members)
        return [column for column in self.columns if column.name not in used]


def draft_source(
    connection: duckdb.DuckDBPyConnection,
    layout: SourceLayout,
    tables: Sequence[Table],
    words: Vocabularies,
    answers: Answers,
) -> Draft:
    """Read a source into raw.* and guess what it says.

    layout : name, files and format; the draft finds the rest
    """
    read_source(connection, layout, 1)
    table = table_name(layout)
    totals = totals_word(connection, table)
    if totals:
        layout = replace(layout, totals=(totals,))
        read_source(connection, layout, 1)
    draft = Draft(layout.name, layout.files, tables[0], columns_of(connection, table), totals=totals)
    draft.export_date = _export_line(draft, tables, answers)
    draft.order = _order(draft, answers)
    draft.sign = decimals.decide(draft.columns, has_typed_numbers=layout.format != "delimited")
    assign(draft, words)
    for nested in layout.nested:
        draft.blocks += nested_blocks(connection, layout, nested, words)
    if draft.record == "stay":
        shape = years.look(connection, draft, table, tables)
        draft.year_of, draft.restarts = shape.year_of, shape.restarts
        draft.questions += shape.questions
    return draft


def _export_line(draft: Draft, tables: Sequence[Table], answers: Answers) -> str:
    if line := export_day(tables, answers.exported):
        return line
    question = "When was it exported? The files' names do not say: set export_date."
    if answer := answers.to("exported", question):
        return f"export_date = {answer}"
    draft.questions.append(question)
    return ""


def _order(draft: Draft, answers: Answers) -> days.Order:
    if answers.date_order:
        return days.Order(answers.date_order, "as you said")
    decided = days.decide(draft.columns)
    if decided.order is not None:
        return decided
    question = f"Day first or month first? In '{draft.name}' {decided.why}. Set date_order to dmy or mdy."
    if answer := answers.to("date_order", question):
        return days.Order(answer, "as you said")
    draft.questions.append(question)
    return decided


def export_day(tables: Sequence[Table], stated: date | None) -> str:
    """The TOML line that says when the files were exported, or ''."""
    if stated:
        return f"export_date = {stated.isoformat()}"
    for pattern, form in NAME_PATTERNS.items():
        if all(_is_day(re.search(form, table.path.name), pattern) for table in tables):
            return f'export_date_in_name = "{pattern}"'
    return ""


def _is_day(match: re.Match | None, pattern: str) -> bool:
    try:
        return match is not None and bool(datetime.strptime(match[0], pattern))
    except ValueError:
        return False


def assign(draft: Draft, words: Vocabularies, record: str | None = None) -> None:
    """Private columns first, then repeated ones and cells of several facts, then the rest.

    record : what a row of the table is, if that is known
    """
    draft.private = private_columns(draft.columns, guesses("stay", draft.columns, words))
    open_columns = [column for column in draft.columns if column.name not in draft.private]
    draft.blocks = repeated_blocks(open_columns, words)
    taken = {name for block in draft.blocks for name in block.members}
    open_columns = [column for column in open_columns if column.name not in taken]
    facts = [block for column in open_columns if (block := facts_block(column, words))]
    draft.blocks += facts
    open_columns = [column for column in open_columns if all(column.name not in b.members for b in facts)]
    draft.record = record or _record_of(open_columns, words)
    draft.guesses = guesses(draft.record, open_columns, words)
    if draft.record == "stay":
        left = [column for column in open_columns if column.name in {unused.name for unused in draft.unused}]
        draft.blocks += _single_block(left, words)
    stamped = [guess.column for guess in draft.guesses if guess.is_used and is_dates(guess.column)]
    draft.stamps_in = "UTC" if any(headings.names_utc(column.name) for column in stamped) else ""


def _record_of(columns: Sequence[Column], words: Vocabularies) -> str:
    """What a row of the table is: that of which most is told. A number that never repeats speaks for a stay."""
    stay = [guess for guess in guesses("stay", columns, words) if guess.is_used]
    number = next((guess.column for guess in stay if guess.field == "case_number"), None)
    child = best_record(columns, words)
    if child is None:
        return "stay"
    told = sum(guess.score for guess in stay if guess.field != "case_number")
    told += 1 if number and number.filled >= ENOUGH and number.distinct_share > 0.95 else 0
    told += 1 if any(guess.field == "species" for guess in stay) else 0
    return "stay" if told > sum(guess.score for guess in child.guesses if guess.is_used) else child.record


def _single_block(columns: Sequence[Column], words: Vocabularies) -> list[Block]:
    """A treatment or film told in one column, with its day in the next one."""
    for place, column in enumerate(columns):
        for record, main in MAIN_FIELDS.items():
            if record != "gear_item" and headings.likeness(column.name, record, main) >= 1:
                near = [each for each in columns[place : place + 2] if each.position - column.position <= 1]
                block = best_record(near, words)
                if block and block.record == record:
                    return [replace(block, members=tuple(guess.column.name for guess in block.guesses))]
    return [block for column in columns if (block := measured_block(column, words))]


def ask(draft: Draft) -> None:
    """What the data cannot decide."""
    if draft.sign.sign is None:
        draft.questions.append(f"Which decimal sign? {draft.sign.why}. Set decimal.")
    wanted = ("case_number", "admission_date") if draft.record == "stay" else ("case_number",)
    for name in wanted:
        if not draft.guess(name):
            near = next((guess for guess in draft.guesses if guess.field == name), None)
            perhaps = f" Perhaps '{near.column.name}'." if near else ""
            draft.questions.append(f"Which column is {name}?{perhaps} Without it no row can be used.")
    mass = draft.guess("mass")
    if mass and not headings.unit_of(mass.column.name) and mass.column.share("unit") < 1:
        which = "in" if mass.column.share("unit") < 0.5 else "without a unit in"
        draft.questions.append(f"Is '{mass.column.name}' {which} g, kg, lb or oz? Taken as g; set unit.")


def unused_weak(draft: Draft) -> list[Guess]:
    """Guesses too weak to use, for columns that nothing else reads."""
    names = {column.name for column in draft.unused}
    return [guess for guess in draft.guesses if guess.score < LIKELY and guess.column.name in names]


def same_columns(one: Table, other: Table) -> bool:
    """Whether two tables are exports of one kind: most column names agree."""
    if any(
        getattr(one, part) != getattr(other, part) for part in ("format", "sheet", "delimiter", "title_rows")
    ):
        return False
    first, second = ({column_key(name) for name in table.header} for table in (one, other))
    return first == second or len(first & second) >= 0.6 * len(first | second)


def files_pattern(paths: Sequence[Path], folder: str) -> str:
    """A pattern for the files, in their folder under exports/."""
    suffixes = {path.suffix for path in paths}
    return f"{folder}/*{suffixes.pop()}" if len(suffixes) == 1 else f"{folder}/*"
