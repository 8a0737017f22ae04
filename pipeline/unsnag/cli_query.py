"""The command that asks the database a question of one's own."""

from enum import Enum
from pathlib import Path
from typing import Annotated

import typer
from rich.markup import escape
from rich.table import Table

from unsnag import run
from unsnag.share import asking, printing, saved
from unsnag.terminal import err, out
from unsnag.workspace import Workspace, load

Folder = Annotated[Path, typer.Argument(metavar="WORKSPACE", help="The folder that holds network.toml.")]
Sql = Annotated[str | None, typer.Argument(metavar="[SQL]", help="One SELECT on the schema public.")]
File = Annotated[Path | None, typer.Option("--file", help="A file that holds the SELECT.")]
Name = Annotated[str | None, typer.Option("--saved", help="A query that the workspace keeps in queries/.")]
Listed = Annotated[bool, typer.Option("--list", help="List the queries that the workspace keeps.")]
Pairs = Annotated[
    list[str] | None, typer.Option("--set", metavar="NAME=VALUE", help="The value of a $name of the query.")
]
Format = Enum("Format", {name: name for name in printing.FORMATS})
As = Annotated[Format, typer.Option("--format", help="How the rows are written to standard output.")]
Private = Annotated[bool, typer.Option("--private", help="Ask the exact, private store instead.")]
Rows = Annotated[int, typer.Option(min=1, help="Hand out at most so many rows.")]
Seconds = Annotated[int, typer.Option(min=1, help="Stop the question after so many seconds.")]
USUAL = asking.Limits()


def query(
    workspace: Folder,
    sql: Sql = None,
    file: File = None,
    name: Name = None,
    listed: Listed = False,
    pairs: Pairs = None,
    format: As = Format.table,
    private: Private = False,
    rows: Rows = USUAL.rows,
    seconds: Seconds = USUAL.seconds,
) -> None:
    """Ask the public database a question of your own; nothing can be changed."""
    if sum(given is not None for given in (sql, file, name)) + listed != 1:
        raise typer.BadParameter("give either one SELECT, or --file, or --saved, or --list")
    place = load(workspace)
    if listed:
        return _list(place)
    path = place.store if private else place.public
    run.require(path, f"unsnag run {workspace}")
    text = _text(place, sql, file, name)
    limits = asking.Limits(seconds=seconds, rows=rows)
    found = asking.ask(path, text, saved.parameters(pairs or []), limits, all_schemas=private)
    printing.FORMATS[format.value](found, out)
    if found.is_cut:
        err.print(f"There are more rows than these {rows:,}; ask for more with --rows.", highlight=False)
    return None


def _text(place: Workspace, sql: str | None, file: Path | None, name: str | None) -> str:
    if name is not None:
        return saved.find_saved(place.folder, name).sql
    return saved.read_query(file).sql if file is not None else sql or ""


def _list(place: Workspace) -> None:
    kept = saved.all_saved(place.folder)
    table = Table("Name", "What it asks", box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for each in kept:
        table.add_row(escape(each.name), escape(each.description))
    out.print(table if kept else "The workspace keeps no queries; put one into queries/NAME.sql.")
