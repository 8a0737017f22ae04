"""The expressions of layout.*: a block of clinic.toml written as SQL, values as parameters, names quoted."""

from dataclasses import dataclass, field

from unsnag.layout_facts import BREAK, DAY, Form, form_of, separator_of
from unsnag.read.names import column_key, fold
from unsnag.read.tables import quoted
from unsnag.workspace import Block, Cell, Clinic, Source
from unsnag.workspace.fields import kinds

PARENT = ".."
FILE_NAME = "_file_name"
FACT = "here._unsnag_fact"
# An animal is found before the day that the year is taken from; everything else comes after it.
EARLIER = frozenset({"found_date"})
# What says nothing at either end of a cell: blank, tab, line ends, the blank that does not break.
BLANKS = "' ' || chr(9) || chr(10) || chr(13) || chr(160)"
AT_AN_END = r"'^[\s\x{00A0}]|[\s\x{00A0}]$'"
MAIN_FIELDS = {"gear_item": "gear", "procedure": "procedure", "finding": "finding"}


@dataclass
class Select:
    """One SELECT in the making: its parameters, so that no value is ever pasted into SQL."""

    clinic: Clinic
    source: Source
    record: str
    block: Block
    columns: dict[str, str]
    parent_columns: dict[str, str]
    parameters: dict = field(default_factory=dict)

    def bind(self, value) -> str:
        """Give a value a parameter name."""
        name = f"value_{len(self.parameters)}"
        self.parameters[name] = value
        return f"${name}"

    def has(self, name: str) -> bool:
        """Whether the exports have the column."""
        there = self.parent_columns if name.startswith(PARENT) else self.columns
        return name == FILE_NAME or column_key(name.removeprefix(PARENT)) in there

    def spelled(self, name: str) -> str:
        """The column as its table spells it; clinic.toml may differ in case and blanks."""
        if name == FILE_NAME:
            return "(select parse_filename(path) from raw.files where file_id = here._file)"
        if not self.has(name):
            return "cast(null as varchar)"
        table, there = ("parent", self.parent_columns) if name.startswith(PARENT) else ("here", self.columns)
        return f"{table}.{quoted(there[column_key(name.removeprefix(PARENT))])}"

    def column(self, name: str) -> str:
        """A column as text, trimmed; the clinic's own words for 'missing' become null."""
        raw = self.spelled(name)
        # Hardly any cell needs trimming, and the test is three times as fast as trimming them all.
        return self.said(
            f"case when regexp_matches({raw}, {AT_AN_END}) then trim({raw}, {BLANKS}) else {raw} end"
        )

    def said(self, trimmed: str) -> str:
        """What an expression says, if anything."""
        text = f"nullif({trimmed}, '')"
        if not self.source.missing:
            return text
        return f"case when list_contains({self.bind(list(self.source.missing))}, {text}) then null else {text} end"

    def cell(self, cell: Cell) -> str:
        """The expression of one cell."""
        if cell.constant is not None:
            return self.bind(cell.constant)
        if cell.join:
            parts = ", ".join(self.column(name) for name in cell.join)
            return f"nullif(concat_ws({self.bind(cell.separator)}, {parts}), '')"
        options = [self.column(name) for name in cell.columns]
        return f"coalesce({', '.join(options)})" if len(options) > 1 else options[0]

    def value(self, name: str) -> str:
        """The expression of one field of the model; null where nothing is given."""
        cell = self.block.cells.get(name)
        told = self.block.facts.fields if self.block.facts else ()
        if cell is None and name not in told and name != self.fallback:
            return "cast(null as varchar)"
        text = self.cell(cell) if cell else self.fact(name)
        year_of = (cell.year_of if cell else None) or self.block.year_of
        kind = kinds(self.record)[name]
        if kind == "date":
            return self.day(text, name, year_of)
        if kind == "key" and cell and cell.year_of:
            return self.numbered_by_year(text, cell.year_of)
        return self.by_legend(text, name)

    def by_legend(self, text: str, name: str) -> str:
        """The meaning that the clinic's own legend gives a code, as written or in another case; else the text."""
        legend = self.clinic.legend.get(name)
        if not legend:
            return text
        loose = {fold(code): meaning for code, meaning in legend.items()}
        exact, folded = (
            f"map({self.bind(list(codes))}, {self.bind(list(codes.values()))})" for codes in (legend, loose)
        )
        return f"coalesce({exact}[{text}], {folded}[folded({text})], {text})"

    def day(self, text: str, name: str, year_of: str | None) -> str:
        """A day that no later room has to ask the clinic.toml about: serial numbers, stamps, missing years."""
        source = self.source
        if source.serial_days or (source.serial_days is None and source.format == "workbook"):
            text = f"serial_day({text})"
        if source.stamps_in:
            zones = f"{self.bind(source.stamps_in)}, {self.bind(self.clinic.timezone)}"
            text = f"day_of_stamp({text}, {self.order}, {zones})"
        if year_of:
            text = f"with_year({text}, {self.order}, {self.reference(year_of)}, {name in EARLIER})"
        return text

    @property
    def order(self) -> str:
        """The order of day, month and year, as a parameter."""
        return self.bind(self.source.date_order or "ymd")

    @property
    def days_of_stay(self) -> tuple[str, ...]:
        """The days that the stay in the same row tells of."""
        cells = self.source.stay.cells if self.source.stay else {}
        return tuple(name for name in cells if kinds("stay")[name] == "date")

    def reference(self, year_of: str) -> str:
        """What completes a day: a column, its Excel number and stamp read too, or a day of the stay."""
        if self.has(year_of) or year_of not in self.days_of_stay:
            return self.day(self.column(year_of), "", None)
        cell = self.source.stay.cells[year_of]
        if self.block.each:
            cell = cell.model_copy(update=_in_parent(cell))
        of_cell = cell.year_of or self.source.stay.year_of
        return self.day(self.cell(cell), year_of, None if of_cell == year_of else of_cell)

    def numbered_by_year(self, text: str, year_of: str) -> str:
        """A case number made unique by its year; '?' stands for a year that cannot be read."""
        year = f"stated_year(given, {self.order}, {self.bind(self.clinic.timezone)})"
        stated = f"list_transform([{self.reference(year_of)}], lambda given: {year})[1]"
        return f"coalesce(cast({stated} as varchar), '?') || '/' || {text}"

    def origin(self, table: str) -> str:
        """The table whose rows the block takes; a cell with several facts gives a row for each."""
        facts = self.block.facts
        if not facts:
            return f"raw.{table} as here"
        text = self.column(facts.column)
        if facts.between:
            pieces = f"string_split_regex({text}, {self.bind(separator_of(facts.between))})"
        else:
            days = f"regexp_replace({text}, {self.bind(f'({DAY})')}, {self.bind(BREAK + chr(92) + '1')}, 'g')"
            pieces = f"string_split({days}, {self.bind(BREAK)})"
        return (
            "(select parted.* exclude (_unsnag_facts), unnest(_unsnag_facts) as _unsnag_fact,\n"
            "    generate_subscripts(_unsnag_facts, 1) as _unsnag_number from (select *,\n"
            f"    list_filter({pieces}, lambda piece: trim(piece) <> '') as _unsnag_facts from raw.{table} as here)"
            " as parted) as here"
        )

    @property
    def item_number(self) -> str:
        """Which item of a nested list, or which fact of a cell, a row is."""
        if self.block.facts:
            return "here._unsnag_number"
        return "here._item" if self.block.each else "0"

    @property
    def forms(self) -> list[Form]:
        """How a fact may read."""
        return [form_of(self.record, form) for form in self.block.facts.form]

    @property
    def fallback(self) -> str:
        """The field that takes a fact whole if it fits no form, so that it is asked about and never lost."""
        facts = self.block.facts
        if not facts:
            return ""
        main, kind = MAIN_FIELDS[self.record], kinds(self.record)
        others = [name for name in facts.fields if kind[name] != "date"]
        return main if main in facts.fields or main not in self.block.cells else (others or [""])[0]

    def fact(self, name: str) -> str:
        """A field out of a fact."""
        whole = FACT if name == self.fallback else "null"
        cases = [
            f"when regexp_full_match({FACT}, {self.bind(form.pattern)}) then " + self.group(form, name)
            for form in self.forms
        ]
        return self.said(f"trim(case {' '.join(cases)} else {whole} end, {BLANKS})")

    def group(self, form: Form, name: str) -> str:
        """What a form's braces hold of one field."""
        if name not in form.fields:
            return "null"
        return f"regexp_extract({FACT}, {self.bind(f'^{form.pattern}$')}, {form.fields.index(name) + 1})"

    def conditions(self) -> str:
        """Which rows (or objects of a nested list) the block takes."""
        tests = [
            f"list_contains({self.bind(list(values))}, trim({self.spelled(name)}, {BLANKS}))"
            for name, values in self.block.where.items()
        ]
        return " and ".join([*tests, self.says_something()])

    def says_something(self) -> str:
        """A block of constants and empty cells is no record: "Worse on" without a day tells of nothing."""
        if self.record == "stay" or self.block.facts:
            return "true"
        said = [
            self.cell(cell)
            for name, cell in self.block.cells.items()
            if cell.columns and name != "case_number"
        ]
        return f"coalesce({', '.join(said)}) is not null" if said else "true"


def _in_parent(cell: Cell) -> dict:
    """The origins of a cell as an object of a nested list names them."""
    column = PARENT + cell.column if cell.column else None
    several = {name: tuple(PARENT + each for each in getattr(cell, name)) for name in ("join", "first_of")}
    return {"column": column, **several}
