"""What a run prints: what it made and where, whether anything was lost, and what the steward must look at."""

from rich.panel import Panel

from unsnag import checks, cli_intake, run
from unsnag.databases import reading
from unsnag.errors import UnsnagError, render
from unsnag.terminal import err, grid, out
from unsnag.workspace import Workspace


def show_made(workspace: Workspace, made: run.Made) -> None:
    """What the run made and where, and the laws of conservation it kept."""
    rows = [(str(path.relative_to(workspace.folder)), SAID.get(path.name, "")) for path in made.files]
    out.print(
        Panel(grid(None, rows), title=f"Made in {workspace.folder.name}/", title_align="left", expand=False)
    )
    with reading(workspace.public) as connection:
        about = dict(connection.execute("select key, value from public.about").fetchall())
        laws = connection.execute(
            "select law, left_side, right_side, holds from public.conservation"
        ).fetchall()
    out.print(
        f"{about['records_counted']} records in {about['files_read']} files of {about['clinics']} clinics are "
        f"{about['stays']} stays, {about['cases']} cases, {about['tackle_cases']} of them injured by fishing tackle, "
        f"as of {made.as_of}.",
        highlight=False,
    )
    shown = [
        (law, f"{left:,}", f"{right:,}", "holds" if holds else "BROKEN") for law, left, right, holds in laws
    ]
    out.print(grid(["Nothing is lost", "left", "right", ""], shown))


SAID = {
    "cases.duckdb": "the exact case database; private, never hand it on",
    "public.duckdb": "the publishable database; ask it with: unsnag query",
    "codebook.html": "what every published table, column and code means",
    "report.html": "the year's outcome report; open it in a browser",
    "report.pdf": "the same report for paper",
    "explorer.html": "what became of animals like the one on the table, to choose from in a browser",
    "pictures": "every picture of the report as SVG, with its specification",
    "tables": "every table of the report as CSV",
    "sites": "a brief for each council, with its sites for a map program",
    "private": "for the steward (steward.html), and each clinic's questions, for that clinic only",
    "manifest.json": "what the report rests on: hashes, versions, row counts",
}


def show_findings(workspace: Workspace, problems: tuple[UnsnagError, ...], with_words: bool = False) -> bool:
    """Print what the steward must look at. Returns  whether the user must act before publishing."""
    with reading(workspace.store) as connection:
        found, words = checks.counts(connection), checks.open_words(connection)
        broken, left_out = checks.broken_laws(connection), checks.left_out(connection)
    if found:
        rows = [(level, label, f"{count:,}") for level, label, _, count in found]
        out.print(grid(["Level", "What the rules of good data found", "Records"], rows))
    if with_words:
        for clinic, source, rows, of in left_out:
            said = f"{clinic}, source {source}: only leaves out {rows:,} of {of:,} rows."
            out.print(said, markup=False, highlight=False, soft_wrap=True)
        cli_intake.show_words(workspace)
    elif words:
        out.print(
            f"{sum(word.count for word in words)} words have no code; see: unsnag check {workspace.folder.name}"
        )
    for problem in (*problems, *broken):
        err.print(render(problem), markup=False, highlight=False, soft_wrap=True)
    return bool(problems or broken)
