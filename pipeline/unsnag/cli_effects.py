"""The command that recomputes the planned comparisons and hands them on for review."""

from pathlib import Path

from rich.console import Console
from rich.table import Table

from unsnag import analyse, run
from unsnag.analyses import effects as planned_comparisons
from unsnag.csv_text import csv_text
from unsnag.databases import reading
from unsnag.errors import Problem
from unsnag.protocol import protocol
from unsnag.workspace import Workspace

SHOWN = {"released": "released", "died_or_euthanased": "died or euthanased"}


def recompute(workspace: Workspace, name: str | None) -> dict:
    """The tables of the planned comparisons, of one question or of all, fresh from the store.

    Raises  Problem: the store is not built, or there is no such question
    """
    run.require(workspace.store, f"unsnag build {workspace.folder}")
    planned = workspace.questions
    known = [question.name for question in planned.question]
    if not known:
        raise Problem(
            "questions.toml", "no question is planned", "Plan one in the workspace's questions.toml"
        )
    if name and name not in known:
        raise Problem("questions.toml", f"there is no question '{name}'", f"Ask one of: {', '.join(known)}")
    chosen = tuple(question for question in planned.question if name in (None, question.name))
    with reading(workspace.store) as connection:
        settings = {"questions": planned.model_copy(update={"question": chosen})}
        return planned_comparisons.compute(analyse.Mart(connection, settings))


def write_review(workspace: Workspace, frames: dict) -> list[Path]:
    """private/effects/<question>/: the protocol, and each table of the question as CSV."""
    written = []
    for question in workspace.questions.question:
        if question.name not in set(frames["effects"]["question"]):
            continue
        folder = workspace.folder / "private" / "effects" / question.name
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "protocol.md").write_text(protocol(question, workspace.questions), encoding="utf-8")
        for table, frame in frames.items():
            rows = frame[frame["question"] == question.name].astype(object)
            cells = [list(frame.columns), *rows.where(rows.notna(), None).itertuples(index=False)]
            (folder / f"{table}.csv").write_text(csv_text(cells), encoding="utf-8", newline="")
        written.append(folder)
    return written


def show(frames: dict, out: Console) -> None:
    """Both outcomes of every planned contrast in all eligible animals, worded as the verdict rules say."""
    effects = frames["effects"]
    rows = effects[(effects["group"] == "all") & effects["measure"].isin(list(SHOWN))]
    for asks, of_question in rows.groupby("asks", sort=False):
        out.print(f"\n[bold]{asks}[/bold]", highlight=False)
        table = Table("Strategy", "against", "outcome", "per 100 animals", "verdict", "certainty",
                      box=None, pad_edge=False, padding=(0, 2, 0, 0))  # fmt: skip
        for row in of_question.itertuples():
            table.add_row(_words(row.strategy), _words(row.reference), SHOWN[row.measure], difference(row),
                          row.verdict, row.certainty)  # fmt: skip
        out.print(table)
        first = of_question.iloc[0]
        out.print(f"{first['eligible']} eligible animals. {first['reasons']}", highlight=False)
    out.print(f"\n{planned_comparisons.CAUTION}", highlight=False)


def difference(row) -> str:
    """ "+14 (1 to 31)", or nothing where the verdict gives no figure."""
    if row.verdict in ("too few to tell", "cannot be told apart") or row.difference != row.difference:
        return ""
    return f"{row.difference:+.0f} ({row.low:.0f} to {row.high:.0f})"


def _words(name: str) -> str:
    return name.replace("_", " ")
