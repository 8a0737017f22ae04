"""The draft of one source: its tables read as the reading room reads them, and a field guessed for each column."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from pathlib import Path

import duckdb

from unsnag.draft import days, decimals, headings
from unsnag.draft.answers import Answers
from unsnag.draft.columns import Column, columns_of, totals_word
from unsnag.draft.guess import LIKELY, Guess, guesses, private_columns
from unsnag.draft.nested import nested_blocks
from unsnag.draft.shapes import Block, best_record, facts_block, repeated_blocks
from unsnag.draft.sniff import Table
from unsnag.draft.vocabularies import Vocabularies
from unsnag.layout_cells import FILE_NAME, MAIN_FIELDS
from unsnag.read.names import column_key
from unsnag.read.reading import read_source
from unsnag.read.source import SourceLayout
from unsnag.read.tables import quoted, table_name

NAME_PATTERNS = {"%Y-%m-%d": r"(?<!\d)20\d\d-\d\d-\d\d(?!\d)", "%Y%m%d": r"(?<!\d)20\d{6}(?!\d)",
                 "%Y_%m_%d": r"(?<!\d)20\d\d_\d\d_\d\d(?!\d)"}  # fmt: skip
YEAR_IN_NAME = re.compile(r"(?<!\d)(?:19|20)\d\d(?!\d)")

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
    draft.sign = decimals.decide(draft.columns) if layout.format == "delimited" else NO_SIGN
    _assign(draft, words)
    for nested in layout.nested:
        draft.blocks += nested_blocks(connection, layout, nested, words)
    _shape_years(connection, draft, table, tables)
    _ask(draft)
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


def _assign(draft: Draft, words: Vocabularies) -> None:
    """Private columns first, then repeated ones and cells of several facts, then the rest."""
    draft.private = private_columns(draft.columns, guesses("stay", draft.columns, words))
    open_columns = [column for column in draft.columns if column.name not in draft.private]
    draft.blocks = repeated_blocks(open_columns, words)
    taken = {name for block in draft.blocks for name in block.members}
    open_columns = [column for column in open_columns if column.name not in taken]
    facts = [block for column in open_columns if (block := facts_block(column, words))]
    draft.blocks += facts
    open_columns = [column for column in open_columns if all(column.name not in b.members for b in facts)]
    draft.record = _record_of(open_columns, words)
    draft.guesses = guesses(draft.record, open_columns, words)
    if draft.record == "stay":
        left = [column for column in open_columns if column.name in {unused.name for unused in draft.unused}]
        draft.blocks += _single_block(left, words)


def _record_of(columns: Sequence[Column], words: Vocabularies) -> str:
    """What a row of the table is: a stay has a day of admission, or more of a stay's facts than of another record's."""
    stay = guesses("stay", columns, words)
    fields = {guess.field for guess in stay if guess.is_used}
    number = next((guess.column for guess in stay if guess.field == "case_number"), None)
    if {"species", "admission_date"} <= fields or (
        number and number.distinct_share > 0.9 and "species" in fields
    ):
        return "stay"
    child = best_record(columns, words)
    is_child = child is not None and (not fields or "species" not in fields)
    return child.record if is_child else "stay"


def _single_block(columns: Sequence[Column], words: Vocabularies) -> list[Block]:
    """A treatment or film told in one column, with its day in the next one."""
    for place, column in enumerate(columns):
        for record, main in MAIN_FIELDS.items():
            if record != "gear_item" and headings.likeness(column.name, record, main) >= 1:
                near = [each for each in columns[place : place + 2] if each.position - column.position <= 1]
                block = best_record(near, words)
                if block and block.record == record:
                    return [replace(block, members=tuple(guess.column.name for guess in block.guesses))]
    return []


def _shape_years(connection, draft: Draft, table: str, tables: Sequence[Table]) -> None:
    """Whether days lack their year, and whether case numbers start anew each year."""
    admission, number = draft.guess("admission_date"), draft.guess("case_number")
    if draft.record != "stay" or not admission or not number:
        return
    in_name = all(YEAR_IN_NAME.search(each.path.stem) for each in tables)
    if lacks_years(admission.column):
        year = next((column.name for column in draft.columns if _holds_years(column)), "")
        draft.year_of = year or (FILE_NAME if in_name else "")
        if not draft.year_of:
            draft.questions.append(
                f"In which year are the days of '{admission.column.name}'? They have none."
            )
    reference = draft.year_of or admission.column.name
    if _restarts(connection, draft, table, number.column.name, admission.column.name):
        draft.restarts = reference


def lacks_years(column: Column) -> bool:
    """Whether most of its days have no year."""
    return column.share("yearless") > 0.5


def _holds_years(column: Column) -> bool:
    years = sum(value.times for value in column.said if re.fullmatch(r"(19|20)\d\d", value.text))
    return column.filled > 0 and years >= 0.95 * column.filled


def _restarts(connection, draft: Draft, table: str, number: str, admission: str) -> bool:
    """Numbers that repeat across years and hardly ever within one."""
    order = draft.order.order or "dmy"
    alone, with_year, rows = connection.execute(
        f"select count(distinct n), count(distinct (n, y)), count(*) from (select {quoted(number)} as n, coalesce("
        f"stated_year({quoted(admission)}, $order, 'UTC'), _file) as y from {table}) where n is not null",
        {"order": order},
    ).fetchone()
    return rows >= 10 and alone < 0.9 * rows and with_year > 0.97 * rows


def _ask(draft: Draft) -> None:
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
    if mass and not headings.unit_of(mass.column.name) and mass.column.share("unit") < 0.5:
        draft.questions.append(f"Is '{mass.column.name}' in g, kg, lb or oz? Taken as g; set unit.")


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
