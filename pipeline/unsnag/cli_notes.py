"""The command that shows how a text is read: what was understood, what was passed over, and why."""

from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

from unsnag import privacy, run
from unsnag.csv_text import csv_text
from unsnag.databases import reading
from unsnag.errors import Problem
from unsnag.notes import explain, load_rules
from unsnag.notes.read import reader
from unsnag.notes.shorthand import Shorthand
from unsnag.notes.tokens import fold
from unsnag.notes.unread import unread_short_words
from unsnag.terminal import out
from unsnag.workspace import Clinic, Workspace, load
from unsnag.workspace.shorthand import HEADING, OPEN

Folder = Annotated[Path, typer.Argument(metavar="WORKSPACE", help="The folder that holds network.toml.")]
Text = Annotated[str, typer.Argument(metavar="[TEXT]", help="The text as the clinic wrote it, in quotes.")]
ClinicName = Annotated[
    str | None,
    typer.Option(
        "--clinic", help="Whose text it is: days are read in its order, its shorthand is written out."
    ),
]
Admitted = Annotated[
    datetime | None,
    typer.Option(formats=["%Y-%m-%d"], help="Day of admission: gives days without a year their year."),
]
Unread = Annotated[
    bool,
    typer.Option("--unread", help="List the short words of the clinics' texts that no rule knows, instead."),
]
WithoutNotes = Annotated[
    bool,
    typer.Option(
        "--without-notes", help="Rest on columns alone, and write beside the output that reads texts."
    ),
]
MOST_SHOWN = 30
EXAMPLE = 'Example: unsnag notes our-network "sw hook, xr 12/3 not moved" --admitted 2024-03-05'


def notes(
    workspace: Folder,
    text: Text = "",
    clinic: ClinicName = None,
    admitted: Admitted = None,
    unread: Unread = False,
) -> None:
    """Show what the tool understands in a text, word by word, and by which rule."""
    network = load(workspace)
    order = date_order(network, clinic)
    if unread:
        run.require(network.store, f"unsnag build {workspace}")
        show_unread(network, clinic)
        return
    if not text:
        raise Problem("TEXT", "there is no text to read", "Give one in quotes, or --unread")
    meanings = network.shorthand.get(clinic or "")
    # A real run never sees a contact detail either, so that this shows what it would understand.
    shown = explain(
        privacy.remove_contact_details(text),
        admitted.date() if admitted else None,
        date_order=order,
        shorthand=Shorthand(meanings) if meanings else None,
    )
    out.print(shown)
    if order == "ymd":
        out.print(
            "Days such as 3/4 are left open: nobody has said whether day or month comes first.",
            highlight=False,
        )


def show_unread(workspace: Workspace, clinic: str | None) -> None:
    """Print rows for each clinic's shorthand.csv, to be filled in by somebody who knows what they mean."""
    rules = reader(load_rules())
    with reading(workspace.store) as connection:
        written = connection.execute(
            "select clinic, list(distinct text order by text) from notes.texts group by clinic"
        ).fetchall()
    texts = dict(written)
    for name in [each.name for each in workspace.clinics if clinic in (None, each.name)]:
        has_meaning = {fold(word) for word in workspace.shorthand.get(name, ())}
        words = unread_short_words(texts.get(name, ()), rules)
        rows = [
            (word.written, OPEN, "", f"{word.texts} texts, such as: {word.example}")
            for word in words
            if fold(word.written) not in has_meaning
        ]
        if not rows:
            out.print(
                f"{name}: no short word that the rules do not know stands in two texts.", highlight=False
            )
            continue
        out.print(f"Rows for clinics/{name}/shorthand.csv, under the heading {HEADING}; delete what means nothing, "
                  "write what the rest means in place of '?':", markup=False, highlight=False)  # fmt: skip
        out.print(csv_text(rows[:MOST_SHOWN]).rstrip("\n"), markup=False, highlight=False, soft_wrap=True)


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
    return {source.date_order or "ymd" for source in clinic.source}
