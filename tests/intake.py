"""What the tests of intake share: a workspace read into memory as far as typed records, without a whole build."""

from contextlib import contextmanager
from datetime import date
from functools import cache
from pathlib import Path

import duckdb
import networks
from unsnag import models, settings_tables, store
from unsnag.workspace import load

AS_OF = date(2024, 1, 31)


@cache
def _shared() -> duckdb.DuckDBPyConnection:
    """One database with the shared codes for all tests: they take longer to read than a small clinic."""
    connection = duckdb.connect()
    models.load_codes(connection)
    return connection


@contextmanager
def staged(folder: Path, folders: tuple[str, ...] = ("1_stage",)):
    """raw.*, layout.* and the given folders' tables of a workspace, and the problems of reading it."""
    workspace, connection = load(folder), _shared()
    for schema in ("raw", "layout", "clinic", *sorted(set(models.SCHEMAS.values()))):
        connection.execute(f"drop schema if exists {schema} cascade")
    problems = store.fill(connection, workspace, networks.quiet)
    if folders != ("1_stage",):
        settings_tables.write_shared_words(connection, AS_OF)
    models.build(connection, models.find(folders), store.parameters(workspace, AS_OF))
    yield connection, problems


def rows(folder: Path, sql: str) -> list[tuple]:
    """The rows of a SELECT on what a workspace is read into."""
    with staged(folder) as (connection, problems):
        assert not problems, problems
        return connection.execute(sql).fetchall()


def problems(folder: Path) -> list[str]:
    """What is wrong with the clinics that could not be read, if another one could."""
    with staged(folder) as (_, found):
        return [str(problem) for problem in found]


def clinic(folder: Path, toml: str, export: str, file: str = "stays.csv", name: str = "one") -> Path:
    """A network with one clinic of that clinic.toml and export file."""
    networks.write_network(folder)
    networks.write_text(folder / "clinics" / name / "exports" / file, export)
    networks.write_text(folder / "clinics" / name / "clinic.toml", toml)
    return folder


SOURCE = """
    timezone = "Australia/Brisbane"
    [[source]]
    name = "stays"
    files = "exports/*.csv"
    export_date = 2024-01-31
"""
STAY = '[source.stay]\ncase_number = "no"\nadmission_date = "in"\n'


def laid(folder: Path, blocks: str, export: str, settings: str = 'date_order = "dmy"') -> Path:
    """A network with one clinic whose stays have the columns 'no' and 'in', and further blocks."""
    return clinic(folder, f"{SOURCE}\n{settings}\n{STAY}\n{blocks}", export)
