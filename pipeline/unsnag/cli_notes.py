"""The command that shows how a text is read: what was understood, what was passed over, and why."""

from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

from unsnag import privacy
from unsnag.errors import Problem
from unsnag.notes import explain
from unsnag.terminal import out
from unsnag.workspace import Clinic, Workspace, load

Folder = Annotated[Path, typer.Argument(metavar="WORKSPACE", help="The folder that holds network.toml.")]
Text = Annotated[str, typer.Argument(metavar="TEXT", help="The text as the clinic wrote it, in quotes.")]
ClinicName = Annotated[
    str | None, typer.Option("--clinic", help="Whose text it is: days are read in its order.")
]
Admitted = Annotated[
    datetime | None,
    typer.Option(formats=["%Y-%m-%d"], help="Day of admission: gives days without a year their year."),
]
WithoutNotes = Annotated[
    bool,
    typer.Option(
        "--without-notes", help="Rest on columns alone, and write beside the output that reads texts."
    ),
]
EXAMPLE = 'Example: unsnag notes our-network "sw hook, xr 12/3 not moved" --admitted 2024-03-05'


def notes(workspace: Folder, text: Text, clinic: ClinicName = None, admitted: Admitted = None) -> None:
    """Show what the tool understands in a text, word by word, and by which rule."""
    order = date_order(load(workspace), clinic)
    # A real run never sees a contact detail either, so that this shows what it would understand.
    shown = explain(
        privacy.remove_contact_details(text), admitted.date() if admitted else None, date_order=order
    )
    out.print(shown)
    if order == "ymd":
        out.print(
            "Days such as 3/4 are left open: nobody has said whether day or month comes first.",
            highlight=False,
        )


def resting_on(workspace: Workspace, without_notes: bool) -> Workspace:
    """The workspace whose runs read texts or leave them out."""
    return replace(workspace, without_notes=without_notes)


def date_order(workspace: Workspace, clinic: str | None) -> str:
    """How the clinic, or every clinic, orders day and month; 'ymd' if they differ.

    Raises  Problem: there is no such clinic
    """
    known = {each.name: each for each in workspace.clinics}
    if clinic is not None and clinic not in known:
        raise Problem("--clinic", f"there is no clinic '{clinic}'", f"Name one of {', '.join(sorted(known))}")
    orders = {order for each in known.values() if clinic in (None, each.name) for order in _orders(each)}
    return orders.pop() if len(orders) == 1 else "ymd"


def _orders(clinic: Clinic) -> set[str]:
    return {source.date_order for source in clinic.source}
