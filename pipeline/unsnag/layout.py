"""The layout room: raw.* (a clinic's own columns) → layout.* (the model's fields, still text).

The SELECTs are written from clinic.toml, because the columns differ between clinics; what the values mean is
left to sql/. Column names are quoted, values go in as parameters.
"""

from dataclasses import dataclass, field

import duckdb
from rapidfuzz import process

from unsnag.errors import Problem
from unsnag.read.names import column_key
from unsnag.read.tables import quoted
from unsnag.workspace import Block, Cell, Clinic, Source
from unsnag.workspace.fields import RECORDS, field_names

TABLES = {"stay": "stays", "gear_item": "gear_items", "procedure": "procedures", "finding": "findings"}
PARENT = ".."


def raw_table(clinic: str, source: str, nested: str | None = None) -> str:
    """The raw table's bare name; nested lists have one of their own."""
    return "__".join([clinic, source] + ([nested] if nested else []))


@dataclass
class Select:
    """One SELECT in the making: its parameters, so that no value is ever pasted into SQL."""

    clinic: Clinic
    source: Source
    block: Block
    columns: dict[str, str]
    parent_columns: dict[str, str]
    parameters: dict = field(default_factory=dict)

    def bind(self, value) -> str:
        """Give a value a parameter name."""
        name = f"value_{len(self.parameters)}"
        self.parameters[name] = value
        return f"${name}"

    def column(self, name: str) -> str:
        """A column as text, trimmed; the clinic's own words for 'missing' become null."""
        text = f"nullif(trim({self.spelled(name)}), '')"
        if not self.source.missing:
            return text
        return f"case when list_contains({self.bind(list(self.source.missing))}, {text}) then null else {text} end"

    def spelled(self, name: str) -> str:
        """The column as its table spells it; clinic.toml may differ in case and blanks."""
        table, there = ("parent", self.parent_columns) if name.startswith(PARENT) else ("here", self.columns)
        return f"{table}.{quoted(there[column_key(name.removeprefix(PARENT))])}"

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
        """The expression of one field of the model: the clinic's legend first, null where nothing is given."""
        if name not in self.block.cells:
            return "cast(null as varchar)"
        text = self.cell(self.block.cells[name])
        legend = self.clinic.legend.get(name)
        if not legend:
            return text
        return f"coalesce(map({self.bind(list(legend))}, {self.bind(list(legend.values()))})[{text}], {text})"

    def conditions(self) -> str:
        """Which rows (or objects of a nested list) the block takes."""
        tests = [
            f"list_contains({self.bind(list(values))}, trim({self.spelled(name)}))"
            for name, values in self.block.where.items()
        ]
        return " and ".join([*tests, self.says_something()])

    def says_something(self) -> str:
        """A block of constants and empty cells is no record: "Worse on" without a day tells of nothing."""
        if self.block == self.source.stay:
            return "true"
        said = [self.cell(cell) for name, cell in self.block.cells.items() if cell.columns and name != "case_number"]
        return f"coalesce({', '.join(said)}) is not null" if said else "true"


def missing_columns(select: Select) -> list[Problem]:
    """Columns that the clinic.toml names and the export does not have."""
    wanted = [name for cell in select.block.cells.values() for name in cell.columns] + list(
        select.block.where
    )
    problems = []
    for name in dict.fromkeys(wanted):
        there = select.parent_columns if name.startswith(PARENT) else select.columns
        if column_key(name.removeprefix(PARENT)) not in there:
            problems.append(_missing_column(select, name, there))
    return problems


def _missing_column(select: Select, name: str, there: dict[str, str]) -> Problem:
    shown = sorted(column for column in there.values() if not column.startswith("_"))
    near = process.extractOne(name, shown, score_cutoff=70)
    hint = f"Did you mean '{near[0]}'?" if near else f"Its columns are: {', '.join(shown)}."
    return Problem(
        f"{select.clinic.name}, source {select.source.name}",
        f"the exports have no column '{name}'",
        f"{hint} Correct clinics/{select.clinic.name}/clinic.toml",
    )


def _statement(select: Select, record: str) -> str:
    names = field_names(record)
    nested = select.block.each
    table = quoted(raw_table(select.clinic.name, select.source.name, nested))
    parent = quoted(raw_table(select.clinic.name, select.source.name))
    join = f"\njoin raw.{parent} as parent using (_file, _row)" if nested else ""
    fields = ",\n    ".join(f"{select.value(name)} as {name}" for name in names)
    units = ",\n    ".join(
        f"{select.bind(cell.unit)} as {name}_unit"
        for name, cell in select.block.cells.items()
        if cell.unit and name == "mass"
    )
    item = "here._item" if nested else "0"
    unit = f",\n    {units or 'cast(null as varchar) as mass_unit'}" if record == "stay" else ""
    return (
        f"select {select.bind(select.clinic.name)} as clinic, {select.bind(select.source.name)} as source,\n"
        f"    here._file as file_id, here._row as row_number, {item} as item_number,\n    {fields}{unit}\n"
        f"from raw.{table} as here{join}\nwhere {select.conditions()}"
    )


def create_tables(connection: duckdb.DuckDBPyConnection) -> None:
    """Empty layout.* tables, one a record of the model, every field text."""
    connection.execute("create schema if not exists layout")
    for record in RECORDS:
        fields = "".join(f", {name} varchar" for name in field_names(record))
        unit = ", mass_unit varchar" if record == "stay" else ""
        connection.execute(
            f"create or replace table layout.{TABLES[record]} (clinic varchar, source varchar, file_id integer, "
            f"row_number integer, item_number integer, block_number integer{fields}{unit})"
        )


def fill(connection: duckdb.DuckDBPyConnection, clinic: Clinic) -> list[Problem]:
    """Add one clinic's rows to layout.*, or say what its clinic.toml names and its exports lack."""
    selects = [
        (record, number, _select(connection, clinic, source, block))
        for source in clinic.source
        for number, (record, block) in enumerate(source.blocks)
    ]
    problems = [problem for _, _, select in selects for problem in missing_columns(select)]
    if problems:
        return problems
    for record, number, select in selects:
        statement = _statement(select, record)
        insert = f"insert into layout.{TABLES[record]} by name select *, {number} as block_number from ({statement})"
        connection.execute(insert, select.parameters)
    return []


def _select(connection, clinic: Clinic, source: Source, block: Block) -> Select:
    parent = _columns(connection, raw_table(clinic.name, source.name))
    here = _columns(connection, raw_table(clinic.name, source.name, block.each)) if block.each else parent
    return Select(clinic, source, block, here, parent)


def _columns(connection, table: str) -> dict[str, str]:
    rows = connection.execute(
        "select column_name from information_schema.columns where table_schema = 'raw' and table_name = ?",
        [table],
    ).fetchall()
    return {column_key(name): name for (name,) in rows}
