"""The command of links: what is in doubt, side by side; and weights proposed from the network's own pairs."""

from pathlib import Path
from typing import Annotated

import typer
from rich.markup import escape
from rich.table import Table

from unsnag import link_review, run
from unsnag.databases import reading
from unsnag.link.estimate import Proposed, propose
from unsnag.terminal import out
from unsnag.workspace import load
from unsnag.workspace.decisions import HEADING

NUMBERS = ("Weight", "Pairs", "m", "m here", "u", "u here", "One animal", "Two animals")

Folder = Annotated[Path, typer.Argument(metavar="WORKSPACE", help="The folder that holds network.toml.")]
Estimate = Annotated[
    bool, typer.Option("--estimate", help="Propose weights from this network's own pairs instead.")
]


def links(workspace: Folder, estimate: Estimate = False) -> None:
    """Show the pairs of stays that may be one animal, side by side, and write private/links.html."""
    place = load(workspace)
    run.require(place.store, f"unsnag build {workspace}")
    with reading(place.store, threads="1") as connection:
        if estimate:
            show_estimates(propose(connection))
            return
        review = link_review.gather(connection)
    page = place.made("private") / "links.html"
    link_review.write(review, page)
    show_review(review)
    out.print(f"The same as a page: {page}", markup=False, highlight=False, soft_wrap=True)


def show_review(review: link_review.Review) -> None:
    """Print each doubtful pair, then what was joined on what evidence."""
    for number, doubt in enumerate(review.doubts, start=1):
        _show_doubt(f"{number} of {len(review.doubts)}", doubt, review)
    if not review.doubts:
        out.print("No pair of stays is in doubt.")
    if not review.joined:
        out.print("No stays were joined.")
        return
    table = _table("Joined", "On what evidence", "Pairs")
    for kind, basis, count in review.joined:
        table.add_row(link_review.KIND_WORDS[kind], link_review.BASIS_WORDS[basis], f"{count:,}")
    out.print(table)


def _show_doubt(number: str, doubt: link_review.Doubt, review: link_review.Review) -> None:
    sides = [f"{side.clinic} {side.case_number}" for side in (doubt.earlier, doubt.later)]
    out.print(f"[bold]{number}: {escape(' and '.join(sides))}[/bold]", highlight=False)
    out.print(doubt.said, highlight=False)
    table = _table("", *map(escape, sides), "How they agree", "Weight")
    for row in doubt.rows:
        cells = map(escape, (row.label, row.earlier, row.later, row.meaning))
        table.add_row(*cells, f"{row.weight:+.1f}")
    table.add_row("Together", "", "", "", f"{doubt.weight:+.1f}")
    out.print(table)
    if doubt.silent:
        out.print(f"One of the two does not say, or both: {', '.join(doubt.silent)}.", highlight=False)
    out.print(f"One of these rows for decisions/links.csv ({HEADING}), with your reason:", soft_wrap=True)
    for decision in ("same", "different"):
        out.print(f"  {doubt.paste(decision, review.as_of)}", markup=False, highlight=False, soft_wrap=True)
    out.print()


def show_estimates(proposed: list[Proposed]) -> None:
    """Print the rows that would differ, to be pasted into sql/codes/link_weights.csv by whoever accepts them."""
    table = _table("Level", "m", "m here", "u", "u here", "One animal", "Two animals")
    for each in proposed:
        level = each.level
        numbers = (f"{number:.3f}" for number in (level.m, each.m, level.u, each.u))
        name = f"{level.kind} {level.field} {level.level}".replace("_", " ")
        table.add_row(name, *numbers, str(each.of_one_animal), str(each.of_two_animals))
    out.print(table)
    out.print("Rows to accept into sql/codes/link_weights.csv; nothing has been changed:", highlight=False)
    for each in proposed:
        out.print(each.row, markup=False, highlight=False, soft_wrap=True)


def _table(*headings: str) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for heading in headings:
        table.add_column(heading, justify="right" if heading in NUMBERS else "left", overflow="fold")
    return table
