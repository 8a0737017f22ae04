"""What all commands share: where they print, how a slip is said, a line that moves while something is done."""

from collections.abc import Callable
from contextlib import contextmanager
from functools import wraps

import typer
from rich.console import Console
from rich.table import Table

from unsnag.errors import UnsnagError, render

out = Console()
err = Console(stderr=True)


@contextmanager
def said_plainly():
    """A user's slip is a sentence and exit code 1, never a traceback."""
    try:
        yield
    except UnsnagError as error:
        err.print(f"[bold]{'That did not work.'}[/bold]", highlight=False)
        err.print(render(error), markup=False, highlight=False, soft_wrap=True)
        raise typer.Exit(1) from None


def plainly(command: Callable[..., None]) -> Callable[..., None]:
    """The command with its slips said plainly."""

    @wraps(command)
    def said(*arguments, **options) -> None:
        with said_plainly():
            command(*arguments, **options)

    return said


@contextmanager
def progress(title: str):
    """A moving line on a terminal that says what is being done; silent where output is not a terminal."""
    with err.status(title) as status:
        yield lambda what: status.update(f"{title}: {what}")


def grid(headings: list[str] | None, rows: list[tuple[str, ...]]) -> Table:
    """Rows under headings, or without any; columns of figures stand at the right."""
    table = Table(show_header=headings is not None, box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for number in range(len(rows[0]) if rows else 0):
        heading = headings[number] if headings else ""
        numeric = all(row[number].replace(",", "").isdigit() for row in rows)
        table.add_column(heading, justify="right" if numeric else "left", overflow="fold")
    for row in rows:
        table.add_row(*row)
    return table
