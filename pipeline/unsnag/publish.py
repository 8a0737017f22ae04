"""The public layer: result.* and mart.* → public.* in the store, and public.* alone → out/public.duckdb."""

from collections.abc import Callable
from pathlib import Path

import duckdb

from unsnag import models
from unsnag.databases import swapped_in
from unsnag.stats.suppression import withheld_cells

DECISIONS = "create or replace table withhold.decisions (cell varchar, reason varchar)"


def build_public(
    connection: duckdb.DuckDBPyConnection, parameters: dict, tell: Callable[[str], None]
) -> None:
    """Build what may be published inside the store, where it can be looked at beside what it comes from."""
    models.build(connection, models.find(["5_withhold"]), parameters, tell)
    decide(connection, parameters["minimum_clinics"])
    models.build(connection, models.find(["5_public"]), parameters, tell)


def decide(connection: duckdb.DuckDBPyConnection, minimum: int) -> None:
    """withhold.cells → withhold.decisions: one row per cell that is withheld, and why."""
    cells = connection.execute(
        "select cell, family, animals, clinics from withhold.cells order by cell, family"
    ).fetchnumpy()
    hidden = withheld_cells(*(cells[name] for name in ("cell", "family", "animals", "clinics")), minimum)
    reasons = {True: f"fewer than {minimum} clinics", False: "would give away a withheld cell"}
    connection.execute(DECISIONS)
    if hidden:
        rows = [(cell, reasons[is_small]) for cell, is_small in hidden.items()]
        connection.executemany("insert into withhold.decisions values (?, ?)", rows)


def write_public(store: Path, public: Path) -> None:
    """Copy the tables of sql/5_public, with their comments, into a file of their own."""
    with swapped_in(public) as connection:
        connection.execute(f"attach {models.literal(str(store))} as store (read_only)")
        connection.execute("create schema public")
        for model in models.find(["5_public"]):
            connection.execute(f"create table {model.name} as select * from store.{model.name}")
            models.comment(connection, model)
        for name, words in connection.execute(OWN).fetchall():
            connection.execute(
                f"create table public.{name} as select * from store.result.{name} order by rowid"
            )
            connection.execute(f"comment on table public.{name} is {models.literal(words)}")
            for column, meaning in connection.execute(OWN_COLUMNS, [name]).fetchall():
                connection.execute(f'comment on column public.{name}."{column}" is {models.literal(meaning)}')
        connection.execute("detach store")


# What the floor of own/ let through.
OWN = (
    "select table_name, comment from duckdb_tables() where database_name = 'store' and schema_name = 'result' "
    "and starts_with(table_name, 'own_') order by table_name"
)
OWN_COLUMNS = (
    "select column_name, comment from duckdb_columns() where database_name = 'store' and schema_name = 'result' "
    "and table_name = ? order by column_index"
)
