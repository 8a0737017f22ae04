"""The command of links: what is in doubt, side by side; and weights proposed from the network's own pairs."""

from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.markup import escape
from rich.table import Table

from unsnag import link_review, run
from unsnag.databases import reading
from unsnag.link.estimate import Proposed, propose
from unsnag.workspace import load
from unsnag.workspace.decisions import HEADING

out = Console()

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
    show_review(review)
    page = place.made("private") / "links.html"
    page.parent.mkdir(parents=True, exist_ok=True)
    page.write_text(link_review.render(review), encoding="utf-8", newline="\n")
    out.print(f"The same as a page: {page}", markup=False, highlight=False, soft_wrap=True)


def show_review(review: link_review.Review) -> None:
    """Print each doubtful pair, then what was joined on what evidence."""
    for number, doubt in enumerate(review.doubts, start=1):
        _show_doubt(f"{number} of {len(review.doubts)}", doubt, review)
    if not review.doubts:
        out.print("No pair of stays is in doubt.")
    table = _table("Joined", "On what evidence", "Pairs")
    for kind, basis, count in review.joined:
        table.add_row(link_review.KIND_WORDS[kind], link_review.BASIS_WORDS[basis], f"{count:,}")
    out.print(table)


def _show_doubt(number: str, doubt: link_review.Doubt, review: link_review.Review) -> None:
    sides = [f"{side.clinic} {side.case_number}" for side in (doubt.earlier, doubt.later)]
    out.print(f"[bold]{number}: {escape(' and '.join(sides))}[/bold]", highlight=False)
    out.print(
        f"{link_review.KIND_WORDS[doubt.kind]}? {doubt.why.capitalize()}; by itself {doubt.chance:.0f} per cent.",
        highlight=False,
    )
    table = _table("", *map(escape, sides), "How they agree", "Weight")
    for row in doubt.rows:
        cells = map(escape, (row.label, row.earlier, row.later, row.meaning))
        table.add_row(*cells, f"{row.weight:+.1f}")
    table.add_row("Together", "", "", "", f"{doubt.weight:+.1f}")
    out.print(table)
    out.print(f"One of these rows for decisions/links.csv ({HEADING}), with your reason:", soft_wrap=True)
    for decision in ("same", "different"):
        out.print(f"  {doubt.paste(decision, review.as_of)}", markup=False, highlight=False, soft_wrap=True)
    out.print()


def show_estimates(proposed: list[Proposed]) -> None:
    """Print the rows that would differ, to be pasted into sql/codes/link_weights.csv by whoever accepts them."""
    table = _table(
        "Kind", "Field", "Level", "m", "m here", "u", "u here", "Pairs of one animal", "Other pairs"
    )
    for each in proposed:
        level = each.level
        numbers = (level.m, each.m, level.u, each.u)
        cells = (level.kind, level.field, level.level, *(f"{number:.3f}" for number in numbers))
        table.add_row(*cells, str(each.of_one_animal), str(each.of_two_animals))
    out.print(table)
    out.print("Rows to accept into sql/codes/link_weights.csv; nothing has been changed:", highlight=False)
    for each in proposed:
        out.print(each.row, markup=False, highlight=False, soft_wrap=True)


def _table(*headings: str) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for heading in headings:
        is_number = heading in ("Weight", "Pairs", "m", "m here", "u", "u here") or heading.endswith(" pairs")
        table.add_column(heading, justify="right" if is_number else "left", overflow="fold")
    return table
