"""The command that writes each council's brief, and says what the records show of its sites."""

from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.table import Table
from unsnag_charts.numbers import count, number, span

from unsnag import run
from unsnag.briefs import read
from unsnag.databases import reading
from unsnag.terminal import out
from unsnag.workspace import Workspace, load


def sites(
    workspace: Annotated[
        Path, typer.Argument(metavar="WORKSPACE", help="The folder that holds network.toml.")
    ],
    council: Annotated[str | None, typer.Option(help="One council by its name; all if left out.")] = None,
    year: Annotated[int | None, typer.Option(help="The report's year; by default the last full one.")] = None,
) -> None:
    """Write each council's brief: where bins would reach most injured animals, and what those there did."""
    place = load(workspace)
    for folder in run.council_briefs(place, council, year):
        out.print(str(folder), highlight=False)
    show(read(place.public), council, out)
    for note in notes(place):
        out.print(note, highlight=False)


def notes(workspace: Workspace) -> list[str]:
    """What was mended on reading the places."""
    with reading(workspace.store) as connection:
        return [
            note for (note,) in connection.execute("select note from place.notes order by note").fetchall()
        ]


def show(frames: dict, council: str | None, out: Console) -> None:
    """The best site of each area for one more bin, with what is assumed of it."""
    table = Table("Council", "Best site for one more bin", "Cases newly reached", "Prevented, if so", "Range",
                  box=None, pad_edge=False, padding=(0, 2, 0, 0))  # fmt: skip
    first = frames["bin_siting"][frames["bin_siting"]["rank"] == 1]
    for row in first.itertuples():
        if council in (None, row.area):
            cells = [
                number(row.within_reach),
                number(row.prevented),
                span(row.prevented_low, row.prevented_high),
            ]
            table.add_row(row.area, row.site, *cells)
    rules = dict(frames["siting_rules"].itertuples(index=False, name=None))
    out.print(table)
    if not first.empty:
        assumed = (
            f"Cases a year. A bin is assumed to prevent {rules['reduction.assumed']} of the cases it reaches"
        )
        out.print(f"{assumed} ({rules['reduction.low']} to {rules['reduction.high']}).", highlight=False)
    placed = frames["places_of_cases"]
    if not placed.empty:
        counted = "; ".join(f"{row.label}: {count(row.cases)}" for row in placed.itertuples())
        out.print(f"{counted}.", highlight=False, soft_wrap=True)
