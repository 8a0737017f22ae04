"""The layout room: raw.* (a clinic's own columns) → layout.* (the model's fields, still text).

The SELECTs are written from clinic.toml, because the columns differ between clinics; what the values mean is
left to sql/. Column names are quoted, values go in as parameters.
"""

import duckdb
from rapidfuzz import process

from unsnag.errors import Problem
from unsnag.layout_cells import PARENT, Select
from unsnag.read.names import column_key
from unsnag.read.tables import quoted, raw_table
from unsnag.workspace import Block, Clinic, Source
from unsnag.workspace.fields import RECORDS, field_names, kinds

TABLES = {"stay": "stays", "gear_item": "gear_items", "procedure": "procedures", "finding": "findings"}
TWO_SHORT_NUMBERS = r"^\d{1,2}[-/. ]+\d{1,2}(\D|$)"


def missing_columns(select: Select) -> list[Problem]:
    """Columns that the clinic.toml names and the export does not have."""
    missing = [name for name in select.block.columns if not select.has(name)]
    missing += [
        name for name in select.block.year_origins if not select.has(name) and name not in select.days_of_stay
    ]
    return [_missing_column(select, name) for name in missing]


def _missing_column(select: Select, name: str) -> Problem:
    there = select.parent_columns if name.startswith(PARENT) else select.columns
    shown = sorted(column for column in there.values() if not column.startswith("_"))
    near = process.extractOne(name, shown, score_cutoff=70)
    hint = f"Did you mean '{near[0]}'?" if near else f"Its columns are: {', '.join(shown)}."
    return Problem(
        f"{select.clinic.name}, source {select.source.name}",
        f"the exports have no column '{name}'",
        f"{hint} Correct clinics/{select.clinic.name}/clinic.toml",
    )


def undecided_days(connection, select: Select) -> list[Problem]:
    """The question that a clinic.toml leaves open if its days can be read in two orders and it does not say which."""
    if select.source.date_order is not None:
        return []
    kind, told = kinds(select.record), select.block.facts.fields if select.block.facts else ()
    for name in (*select.block.cells, *told):
        if kind[name] == "date" and (example := _two_ways(connection, select, name)):
            return [_undecided(select, name, example)]
    return []


def _two_ways(connection, select: Select, name: str) -> str | None:
    """The first day of a field that begins with two short numbers."""
    cell = select.block.cells.get(name)
    text = select.cell(cell) if cell else select.fact(name)
    statement = (
        f"select min(said) from (select {text} as said {_taken(select)}) "
        f"where regexp_matches(said, {select.bind(TWO_SHORT_NUMBERS)})"
    )
    (example,) = connection.execute(statement, select.parameters).fetchone()
    select.parameters.clear()
    return example


def _undecided(select: Select, name: str, example: str) -> Problem:
    cell = select.block.cells.get(name)
    column = " and ".join(cell.columns) if cell else select.block.facts.column
    return Problem(
        f"{select.clinic.name}, source {select.source.name}",
        f"the days in '{column}' can be read day first or month first ({example}), and nothing says which",
        f'Ask the clinic, then set date_order = "dmy" or "mdy" in clinics/{select.clinic.name}/clinic.toml',
    )


def _statement(select: Select, record: str) -> str:
    fields = ",\n    ".join(f"{select.value(name)} as {name}" for name in field_names(record))
    mass = select.block.cells.get("mass")
    unit = select.bind(mass.unit) if mass and mass.unit else "cast(null as varchar)"
    units = f",\n    {unit} as mass_unit" if record == "stay" else ""
    return (
        f"select {select.bind(select.clinic.name)} as clinic, {select.bind(select.source.name)} as source,\n"
        f"    here._file as file_id, here._row as row_number, {select.item_number} as item_number,\n"
        f"    {fields}{units}\n{_taken(select)}"
    )


def _taken(select: Select) -> str:
    """FROM and WHERE: the rows, objects or facts that a block takes."""
    table = quoted(raw_table(select.clinic.name, select.source.name, select.block.each))
    parent = quoted(raw_table(select.clinic.name, select.source.name))
    join = f"\njoin raw.{parent} as parent using (_file, _row)" if select.block.each else ""
    return f"from {select.origin(table)}{join}\nwhere {select.conditions()}"


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


def fill(connection: duckdb.DuckDBPyConnection, clinic: Clinic, is_past: bool = False) -> list[Problem]:
    """Add one clinic's rows to layout.*, or say what its clinic.toml names and its exports lack.

    is_past : the exports end at an earlier day, so that columns which came later may be missing
    """
    selects = [
        (record, number, _select(connection, clinic, source, record, block))
        for source in clinic.source
        for number, (record, block) in enumerate(source.blocks)
    ]
    problems = [] if is_past else [problem for *_, select in selects for problem in missing_columns(select)]
    problems = problems or [
        problem for _, _, select in selects for problem in undecided_days(connection, select)
    ]
    if problems:
        return problems
    for record, number, select in selects:
        statement = _statement(select, record)
        insert = f"insert into layout.{TABLES[record]} by name select *, {number} as block_number from ({statement})"
        connection.execute(insert, select.parameters)
    return []


def _select(connection, clinic: Clinic, source: Source, record: str, block: Block) -> Select:
    parent = _columns(connection, raw_table(clinic.name, source.name))
    here = _columns(connection, raw_table(clinic.name, source.name, block.each)) if block.each else parent
    return Select(clinic, source, record, block, here, parent)


def _columns(connection, table: str) -> dict[str, str]:
    rows = connection.execute(
        "select column_name from information_schema.columns where table_schema = 'raw' and table_name = ?",
        [table],
    ).fetchall()
    return {column_key(name): name for (name,) in rows}
