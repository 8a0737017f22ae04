"""The commands of intake: draft a clinic, help with its words, list the fields. cli.py registers them."""

import sys
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import Annotated

import typer
from rich.markup import escape
from rich.table import Table

from unsnag import run, terms_help
from unsnag.csv_text import csv_text
from unsnag.databases import reading
from unsnag.draft import Answers, Drafted, draft_clinic
from unsnag.errors import Problem
from unsnag.fields_help import codes_of, markdown, short_rows
from unsnag.terminal import err, out
from unsnag.workspace import Workspace, load
from unsnag.workspace.clinic import known_zone

Folder = Annotated[Path, typer.Argument(metavar="WORKSPACE", help="The folder that holds network.toml.")]
Name = Annotated[str, typer.Argument(metavar="NAME", help="The clinic's folder: small letters, digits, _.")]
Files = Annotated[list[Path], typer.Argument(metavar="FILE…", help="Its export files, as they came.")]
Label = Annotated[str | None, typer.Option(help="The clinic's name in full; private.")]
Zone = Annotated[str | None, typer.Option(help="Its time zone, such as Australia/Brisbane.")]
Exported = Annotated[
    datetime | None, typer.Option(formats=["%Y-%m-%d"], help="When it was exported, if no file name says so.")
]
Order = Annotated[str | None, typer.Option(help="dmy or mdy, if you know how its days are written.")]
Write = Annotated[
    bool, typer.Option("--write", help="Append the drafts to each terms.csv, to be decided there.")
]
FieldName = Annotated[
    str | None, typer.Argument(metavar="[FIELD]", help="Show the codes of this field instead.")
]
AsMarkdown = Annotated[bool, typer.Option("--markdown", help="Print the list as a document.")]


def add_clinic(
    workspace: Folder,
    name: Name,
    files: Files,
    label: Label = None,
    timezone: Zone = None,
    exported: Exported = None,
    date_order: Order = None,
) -> None:
    """Look at a new clinic's exports and draft its clinic.toml and terms.csv, each guess with its examples."""
    answers = Answers(
        label,
        _checked(timezone, known_zone, "--timezone"),
        exported.date() if exported else None,
        _checked(date_order, _order, "--date-order"),
        _asker(),
    )
    with err.status("Drafting") as status:
        drafted = draft_clinic(
            workspace, name, files, answers, lambda what: status.update(f"Drafting: {escape(what)}")
        )
    _show_drafted(workspace, drafted)


def _order(text: str | None) -> str | None:
    if text not in (None, "dmy", "mdy"):
        raise ValueError(f"'{text}' is neither dmy nor mdy")
    return text


def _day(text: str) -> str:
    return date.fromisoformat(text).isoformat()


def _checked(text: str | None, check: Callable[[str | None], str | None], option: str) -> str | None:
    try:
        return check(text)
    except ValueError as error:
        raise Problem(option, str(error), "Correct it, or leave it out") from None


def _asker() -> Callable[[str, str], str | None] | None:
    """On a terminal a question is asked at once, each only once; elsewhere it is left in the file."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        return None
    checks = {"exported": _day, "date_order": _order, "timezone": known_zone}
    given: dict[str, str | None] = {}

    def ask(about: str, question: str) -> str | None:
        while question not in given:
            answer = out.input(f"{escape(question)} (Enter to leave it open) ").strip()
            try:
                given[question] = checks[about](answer) if answer else None
            except ValueError as error:
                out.print(escape(str(error)))
        return given[question]

    return ask


def _show_drafted(workspace: Path, drafted: Drafted) -> None:
    table = Table(
        "Source", "Rows are", "Columns", "sure", "likely", "private", "not read", box=None, pad_edge=False
    )
    for draft in drafted.drafts:
        guesses = [*draft.guesses, *(guess for block in draft.blocks for guess in block.guesses)]
        counts = [sum(guess.confidence == word for guess in guesses) for word in ("sure", "likely")]
        cells = [len(draft.columns), *counts, len(draft.private), len(draft.unused)]
        table.add_row(draft.name, f"{draft.record}s", *map(str, cells))
    out.print(table)
    out.print(
        f"Written: {drafted.folder}/clinic.toml and terms.csv; read every line of them.", highlight=False
    )
    for number, question in enumerate(drafted.questions, start=1):
        out.print(f"{number}. {question}", markup=False, highlight=False)
    if drafted.open_words:
        out.print(
            f"{drafted.open_words} words need a code in terms.csv, most frequent first.", highlight=False
        )
    out.print(f"Then: unsnag check {workspace}", markup=False, highlight=False)


def terms(workspace: Folder, write: Write = False) -> None:
    """Show the words that have no code, with suggestions and the rows to paste into terms.csv."""
    place = load(workspace)
    run.require(place.store, f"unsnag build {workspace}")
    show_words(place, write)


def show_words(place: Workspace, write: bool = False) -> None:
    """Print each clinic's words without a code, most records first, or append them to its terms.csv."""
    with reading(place.store) as connection:
        words, codes = terms_help.open_words(connection), terms_help.shared_codes(connection)
    helper = terms_help.Helper(codes, place.terms)
    for clinic, found in words.items():
        rows = terms_help.draft_rows(helper, clinic, found)
        path = place.folder / "clinics" / clinic / "terms.csv"
        out.print(f"[bold]{escape(clinic)}[/bold]: {len(rows)} words without a code", highlight=False)
        if write:
            number = terms_help.write_rows(path, rows)
            out.print(f"{number} drafts appended to {path}; put a code, or 'ignore', in place of each '?'",
                      markup=False, highlight=False)  # fmt: skip
        else:
            out.print(f"Rows for clinics/{clinic}/terms.csv; put a code, or 'ignore', in place of each '?':",
                      markup=False, highlight=False)  # fmt: skip
            out.print(csv_text(rows).rstrip("\n"), markup=False, highlight=False, soft_wrap=True)
    if not words:
        out.print("Every word has a code.")


def fields(field: FieldName = None, as_markdown: AsMarkdown = False) -> None:
    """List the fields that a clinic can give, or the codes that a field may have."""
    if as_markdown:
        out.print(markdown(), markup=False, highlight=False, soft_wrap=True)
        return
    headings, rows = codes_of(field) if field else short_rows()
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for heading in headings:
        table.add_column(heading, no_wrap=heading in ("Record", "Field", "Code", "Unit"))
    for row in rows:
        table.add_row(*map(escape, row))
    out.print(table)
