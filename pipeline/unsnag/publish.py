"""The public layer: result.* and mart.* → public.* in the store, and public.* alone → out/public.duckdb."""

from collections.abc import Callable
from pathlib import Path

import duckdb

from unsnag import models
from unsnag.databases import swapped_in

FOLDERS = ("5_withhold", "5_public")


def build_public(
    connection: duckdb.DuckDBPyConnection, parameters: dict, tell: Callable[[str], None]
) -> None:
    """Build what may be published inside the store, where it can be looked at beside what it comes from."""
    models.build(connection, models.find(FOLDERS), parameters, tell)


def write_public(store: Path, public: Path) -> None:
    """Copy the tables of sql/5_public, with their comments, into a file of their own."""
    with swapped_in(public) as connection:
        connection.execute(f"attach {models.literal(str(store))} as store (read_only)")
        connection.execute("create schema public")
        for model in models.find(["5_public"]):
            connection.execute(f"create table {model.name} as select * from store.{model.name}")
            models.comment(connection, model)
        connection.execute("detach store")
