"""The command line: parse, call, print. Exit codes: 0 fine, 1 the user must act, 2 wrong usage."""

import shutil
from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

from unsnag import (
    __version__,
    cli_effects,
    cli_intake,
    cli_like,
    cli_links,
    cli_notes,
    cli_query,
    cli_share,
    cli_sites,
    feedback,
    own,
    resources,
    run,
    store,
)
from unsnag.cli_shown import show_findings, show_made
from unsnag.errors import UnsnagError
from unsnag.terminal import grid, out, plainly, progress, said_plainly
from unsnag.workspace import Workspace, load

app = typer.Typer(
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode="rich",
    pretty_exceptions_enable=False,
    help="Pool the case records of wildlife clinics and see what helps animals injured by fishing tackle.",
)
Folder = Annotated[Path, typer.Argument(metavar="WORKSPACE", help="The folder that holds network.toml.")]
Year = Annotated[
    int | None, typer.Option(help="The report's year; by default the last full one before the as-of day.")
]
AsOf = Annotated[
    datetime | None,
    typer.Option(formats=["%Y-%m-%d"], help="The day the analyses speak of; by default the newest export's."),
]
DEMO_PARTS = ("network.toml", "questions.toml", "cohorts.toml", "clinics", "places", "decisions")


@app.command(epilog="Example: unsnag demo my-demo")
def demo(
    folder: Annotated[Path, typer.Argument(metavar="[DIR]", help="A new folder for the demo.")] = Path(
        "unsnag-demo"
    ),
) -> None:
    """Copy the invented demo network to a folder, run everything on it, and say what was made."""
    with said_plainly():
        copy_demo(folder)
        _run(load(folder), None, None)


def copy_demo(folder: Path) -> None:
    """Lay the demo's inputs into a folder; what a steward has put there is never overwritten."""
    if folder.exists() and any(folder.iterdir()) and not (folder / "network.toml").is_file():
        raise UnsnagError(
            str(folder), "the folder is not empty and holds no workspace", "Name another folder"
        )
    folder.mkdir(parents=True, exist_ok=True)
    for name in DEMO_PARTS:
        origin = resources.folder("data_demo") / name
        if origin.is_dir():
            shutil.copytree(origin, folder / name, dirs_exist_ok=True)
        elif origin.is_file():
            shutil.copy(origin, folder / name)


@app.command(name="run", epilog="Example: unsnag run our-network --year 2024")
def run_command(
    workspace: Folder, year: Year = None, as_of: AsOf = None, without_notes: cli_notes.WithoutNotes = False
) -> None:
    """Read the exports, follow each animal, analyse, and write the year's report."""
    with said_plainly():
        _run(cli_notes.resting_on(load(workspace), without_notes), year, as_of.date() if as_of else None)


def _run(workspace: Workspace, year, as_of) -> None:
    workspace = workspace.known_on(as_of)
    with progress("Working") as tell:
        made = run.everything(workspace, year, as_of, tell)
    show_made(workspace, made)
    for sentence in run.since(workspace, made.year):
        out.print(sentence, highlight=False)
    if show_findings(workspace, made.problems):
        raise typer.Exit(1)


@app.command(epilog="Example: unsnag build our-network")
def build(workspace: Folder, as_of: AsOf = None) -> None:
    """Read the exports and build the private case database."""
    with said_plainly():
        place = load(workspace).known_on(as_of.date() if as_of else None)
        with progress("Building") as tell:
            built = store.build(place, tell)
        out.print(f"{built.store} (as of {built.as_of})", highlight=False)
        if show_findings(place, built.problems):
            raise typer.Exit(1)


@app.command(epilog="Example: unsnag check our-network")
def check(workspace: Folder) -> None:
    """Say what is still open: words without a code, refused rows, questions to the clinics."""
    with said_plainly():
        place = load(workspace)
        with progress("Checking") as tell:
            built = store.build(place, tell)
        feedback.write_all(place)
        must_act = show_findings(place, built.problems, with_words=True)
        out.print(
            "Each row, and what to do about it: private/<clinic>/questions.csv", markup=False, highlight=False
        )
        for each in run.own_analyses(place, own.check):
            rows = f"{len(each.shown)} rows to publish, {each.withheld} withheld"
            out.print(f"analyses/{each.table.removeprefix('own_')}.py: {rows}.", highlight=False)
        if must_act:
            raise typer.Exit(1)


app.command(
    name="add-clinic",
    epilog="Example: unsnag add-clinic our-network seal_bay ~/Downloads/seal_bay_2024-07-05.csv",
)(plainly(cli_intake.add_clinic))
app.command(epilog="Example: unsnag terms our-network --write")(plainly(cli_intake.terms))
app.command(epilog="Example: unsnag fields outcome")(plainly(cli_intake.fields))
app.command(epilog="Example: unsnag like our-network --injury ingested --taxon-group sea_turtle")(
    plainly(cli_like.like)
)
app.command(epilog="Example: unsnag links our-network")(plainly(cli_links.links))
app.command(epilog=cli_notes.EXAMPLE)(plainly(cli_notes.notes))
app.command(epilog='Example: unsnag sites our-network --council "Tolvessa Shire"')(plainly(cli_sites.sites))


@app.command(epilog="Example: unsnag analyse our-network")
def analyse(workspace: Folder) -> None:
    """Compute every analysis on the case database and write the public database."""
    with said_plainly():
        place = load(workspace)
        with progress("Analysing") as tell:
            rows = run.analyse_and_publish(place, tell)
        out.print(grid(["Analysis", "Rows"], [(name, f"{number:,}") for name, number in rows.items()]))
        out.print(str(place.public), highlight=False)


@app.command(epilog="Example: unsnag report our-network --year 2024")
def report(workspace: Folder, year: Year = None) -> None:
    """Write the year's report and tables from the public database."""
    with said_plainly(), progress("Reporting") as tell:
        for path in run.report(load(workspace), year, tell):
            out.print(str(path), highlight=False)


@app.command(epilog="Example: unsnag publish our-network --year 2024")
def publish(
    workspace: Folder,
    year: Annotated[int, typer.Option(help="The year whose report is published.")],
    reason: Annotated[
        str, typer.Option(help="Why there is another edition of a year already published.")
    ] = "",
) -> None:
    """Keep a year's report as it is, with hashes, so that it can be cited; later runs say what has changed since."""
    with said_plainly():
        edition = run.publish_edition(load(workspace), year, reason)
        out.print((edition.folder / "citation.txt").read_text(encoding="utf-8").strip(), highlight=False)
        out.print(str(edition.folder), highlight=False)


@app.command(epilog="Example: unsnag effects our-network swallowed_hook_turtle")
def effects(
    workspace: Folder,
    question: Annotated[
        str | None, typer.Argument(metavar="[QUESTION]", help="Its name in questions.toml; all if left out.")
    ] = None,
) -> None:
    """Recompute the planned comparisons: which strategy gives better odds, and how sure that is."""
    with said_plainly():
        place = load(workspace)
        with progress("Comparing") as tell:
            frames = cli_effects.recompute(place, question, tell)
        cli_effects.show(frames, out)
        for folder in cli_effects.write_review(place, frames):
            out.print(f"For review: {folder}", highlight=False)


app.command(epilog='Example: unsnag query our-network "select count(*) from public.cases"')(
    plainly(cli_query.query)
)
app.command(epilog="Example: unsnag extract our-network tackle_cases --to tackle_cases_2024")(
    plainly(cli_share.extract)
)


@app.callback(invoke_without_command=True)
def _version(version: Annotated[bool, typer.Option("--version", help="Print the version.")] = False) -> None:
    if version:
        out.print(__version__, highlight=False)
        raise typer.Exit


def main() -> None:
    """The entry point of the command ``unsnag``."""
    app()
