"""The command for the vet: animals like the one on the table, in plain words, with the cautions."""

import csv
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.table import Table
from unsnag_charts import numbers

from unsnag import resources, run
from unsnag.analyses.animals_like_this import CAUTION
from unsnag.errors import Problem
from unsnag.likeness import AXES, Likeness, likeness
from unsnag.terminal import out
from unsnag.workspace import load
from unsnag.workspace.fields import suggestion

Folder = Annotated[Path, typer.Argument(metavar="WORKSPACE", help="The folder that holds network.toml.")]
Injury = Annotated[str | None, typer.Option(help="How the tackle injures, such as ingested or 'swallowed'.")]
Site = Annotated[str | None, typer.Option(help="Where in the body, such as oesophagus.")]
Animals = Annotated[str | None, typer.Option(help="The kind of animal, such as sea_turtle or 'pelican'.")]
Severity = Annotated[str | None, typer.Option(help="How grave: mild, moderate, severe, critical.")]
FOR_THE_VET = (
    "Population evidence informs; it does not decide one animal's treatment. That is for the attending, licensed "
    "veterinarian under local law, wildlife-care licence conditions and euthanasia guidelines."
)
NOT_AN_EFFECT = (
    "How animals so treated ended, counted from the day of that treatment; not what the treatment did: the sickest are "
    "euthanased or operated late, the well are watched. An animal with several treatments stands in "
    "each row that it reached."
)


def like(
    workspace: Folder,
    injury: Injury = None,
    body_site: Site = None,
    taxon_group: Animals = None,
    severity: Severity = None,
) -> None:
    """Say how animals like the one on the table ended, when, and what was done to them."""
    said = dict(zip(AXES, (injury, body_site, taxon_group, severity), strict=True))
    asked = {axis: code_of(axis, word) for axis, word in said.items() if word is not None}
    place = load(workspace)
    run.require(place.public, f"unsnag run {workspace}")
    show(likeness(place.public, asked), out)


def code_of(vocabulary: str, word: str) -> str:
    """The shared code that a word means: the code itself, its label or a synonym.

    Raises  Problem: no code is known by that word
    """
    path = resources.folder("sql") / "codes" / f"{vocabulary}.csv"
    with path.open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    for row in rows:
        if word.strip().casefold() in {row["code"], row["label"].casefold(), *row["synonyms"].split("|")}:
            return row["code"]
    option = f"--{vocabulary.replace('_', '-')}"
    raise Problem(option, f"'{word}' is not known", suggestion(word, [row["code"] for row in rows]))


def show(found: Likeness, console: Console) -> None:
    """Print the group, its endings by day, what was done, and the cautions."""
    console.print(f"[bold]{title(found.group)}[/bold]", highlight=False)
    for line in (widened(found), counted(found.group), stayed(found.group)):
        if line:
            console.print(line, markup=False, highlight=False)
    console.print(_days(found.days))
    if found.treated:
        console.print(f"What was done: {treated_title(found.treated[0])}", markup=False, highlight=False)
        console.print(_treated(found.treated))
        console.print(NOT_AN_EFFECT, markup=False, highlight=False)
    for caution in (CAUTION, FOR_THE_VET):
        console.print(f"\n{caution}", markup=False, highlight=False)


def title(group: dict) -> str:
    """ "Sea turtle, swallowed, oesophagus, severe": what the group has in common."""
    order = ("taxon_group", "injury", "body_site", "severity")
    labels = [group[f"{axis}_label"] for axis in order if group[f"{axis}_code"] != "all"]
    return (
        ", ".join([labels[0], *(label.lower() for label in labels[1:])])
        if labels
        else "All animals injured by tackle"
    )


def widened(found: Likeness) -> str:
    """What had to be left open, said plainly; empty if nothing was."""
    if not found.dropped:
        return ""
    left_open = numbers.listing(
        [axis.replace("_", " ").replace("taxon group", "kind of animal") for axis in found.dropped]
    )
    few = "Too few animals or clinics were alike in all that you named, so this is the nearest wider group"
    return f"{few}: {left_open} left open."


def counted(group: dict) -> str:
    """The counts and the release rate with its limits."""
    known = group["released"] + group["died"] + group["euthanased"]
    clustered = numbers.interval(group["clustered_low"], group["clustered_high"])
    clinics = "" if clustered == numbers.NONE else f"; allowing for differences between clinics {clustered}"
    return (
        f"{group['animals']} came alive, to {group['clinics']} clinics. Of {known} whose case ended in release, death "
        f"or euthanasia {group['released']} were released: {numbers.percent(group['percent_released'])} (95 % interval "
        f"{numbers.interval(group['wilson_low'], group['wilson_high'])}{clinics}); {group['died']} died, "
        f"{group['euthanased']} were euthanased. {group['other_known']} ended otherwise, {group['unresolved']} have no "
        "known ending."
    )


def stayed(group: dict) -> str:
    """How long the released stayed; empty if nobody was released."""
    if group["median_days"] is None:
        return ""
    middle = numbers.span(group["quartile_low"], group["quartile_high"], 0)
    return (
        f"The released stayed {numbers.days(group['median_days'])} (median; the middle half {middle} days)."
    )


def treated_title(row: dict) -> str:
    """The group of treated animals in words."""
    return ", ".join(
        [row["injury_label"].lower(), row["body_site_label"].lower(), row["taxon_group_label"].lower()]
    )


def _grid(*headings: str) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for number, heading in enumerate(headings):
        table.add_column(heading, justify="right" if number else "left")
    return table


def _days(rows: list[dict]) -> Table:
    table = _grid("By day", "released", "95 % limits", "dead", "95 % limits", "neither")
    for row in rows:
        cells = [f"{row['day']}"]
        for name in ("released", "dead"):
            cells += [numbers.percent(row[name]), numbers.interval(row[f"{name}_low"], row[f"{name}_high"])]
        neither = None if row["released"] is None else 100 - row["released"] - row["dead"]
        table.add_row(*cells, numbers.percent(neither))
    return table


def _treated(rows: list[dict]) -> Table:
    horizon = f"by day {rows[0]['horizon_days']}"
    table = _grid(
        "Treatment",
        "animals",
        "of known",
        "released",
        "at equal severity",
        f"released {horizon}",
        f"dead {horizon}",
    )
    for row in rows:
        table.add_row(row["treatment_label"], *_treatment(row))
    return table


def _treatment(row: dict) -> list[str]:
    """The cells of one treatment; the withheld says so, the rare has no percentage."""
    if row["animals"] is None:
        return ["withheld"]
    known = row["released"] + row["died"] + row["euthanased"]
    return [
        str(row["animals"]),
        f"{row['released']} of {known}",
        _with_limits(row["percent_released"], row["wilson_low"], row["wilson_high"]),
        _with_limits(row["standardised"], row["standardised_low"], row["standardised_high"]),
        numbers.percent(row["release_by_horizon"]),
        numbers.percent(row["death_by_horizon"]),
    ]


def _with_limits(value: float | None, low: float | None, high: float | None) -> str:
    limits = "" if low is None else f" ({numbers.span(low, high, 0)})"
    return f"{numbers.percent(value)}{limits}"
