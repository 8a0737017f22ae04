"""The command that recomputes the planned comparisons and hands them on for review."""

from collections.abc import Callable
from pathlib import Path

import pandas as pd
from rich.console import Console
from rich.table import Table

from unsnag import analyse, resources, run
from unsnag.analyses import effects as planned_comparisons
from unsnag.csv_text import csv_text
from unsnag.databases import reading
from unsnag.errors import Problem
from unsnag.protocol import protocol
from unsnag.report import pictures
from unsnag.report.effects_in_words import UNTOLD, effects_in_words
from unsnag.report.published import Published
from unsnag.workspace import Workspace

FILES = {"effect_weights": "weights"}
P_VALUES = """
    select coalesce(if(isnan(p), 1, p), 1) from result.effects
    where list_contains($names, question) and effect_by = 'all' and measure in ('released', 'died_or_euthanased')
    order by rowid
"""
SHOWN = {"released": "released", "died_or_euthanased": "died or euthanased"}


def recompute(
    workspace: Workspace, name: str | None, tell: Callable[[str], None] = lambda what: None
) -> dict:
    """The tables of the planned comparisons, of one question or of all, fresh from the store.

    Of one question alone, the p values of the others are those of the last analysis: they were planned, so they count.

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
    others = [question for question in planned.question if question not in chosen]
    with reading(workspace.store) as connection:
        settings = {
            "questions": planned.model_copy(update={"question": chosen}),
            "planned_elsewhere": _planned_elsewhere(connection, others),
            "tell": tell,
        }
        return planned_comparisons.compute(analyse.Mart(connection, settings))


def _planned_elsewhere(connection, others: list) -> list[float]:
    """p of every planned contrast of other questions; 1 where it was not analysed or could not be tested."""
    contrasts = sum(2 * (len(question.strategy) - 1) for question in others)
    analysed = connection.execute(
        "select count(*) from duckdb_tables() where schema_name = 'result' and table_name = 'effects'"
    ).fetchone()[0]
    if not (contrasts and analysed):
        return [1.0] * contrasts
    found = connection.execute(P_VALUES, {"names": [question.name for question in others]}).fetchall()
    return [p for (p,) in found] + [1.0] * (contrasts - len(found))


def write_review(workspace: Workspace, frames: dict) -> list[Path]:
    """private/effects/<question>/: the protocol, the picture, and each table of the question as CSV, weights too.

    The weights stand beside case ids: the folder stays private.
    """
    written = []
    for question in workspace.questions.question:
        own = {name: frame[frame["question"] == question.name] for name, frame in frames.items()}
        if own["effects"].empty:
            continue
        folder = workspace.folder / "private" / "effects" / question.name
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "protocol.md").write_text(protocol(question, workspace.questions), encoding="utf-8")
        (folder / "effects.svg").write_text(picture(own["effects"]), encoding="utf-8")
        for table, rows in own.items():
            rows = rows.astype(object)
            cells = [list(rows.columns), *rows.where(rows.notna(), None).itertuples(index=False)]
            path = folder / f"{FILES.get(table, table)}.csv"
            path.write_text(csv_text(cells), encoding="utf-8", newline="")
        written.append(folder)
    return written


def picture(effects: pd.DataFrame) -> str:
    """The differences of one question as an SVG document, as the report draws them: no figure where none is told."""
    is_untold = effects["verdict"].isin(UNTOLD)
    figures = effects[["difference", "low", "high"]].mask(is_untold)
    labels = effects["group"].str.replace("_", " ").str.capitalize()
    frame = effects.assign(**figures, group_code=effects["group"], group_label=labels)
    pictures.use_typefaces(resources.folder("dashboards") / "fonts")
    in_words = effects_in_words(Published({"effects": frame}), 0)
    return pictures.described(pictures.drawn("effects", in_words))


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
        out.print(f"{of_question.iloc[0]['eligible']} eligible animals.", highlight=False)
        for row in of_question[of_question["reasons"] != ""].itertuples():
            out.print(f"{_words(row.strategy)}, {SHOWN[row.measure]}: {row.reasons}.", highlight=False)
    out.print(f"\n{planned_comparisons.CAUTION}", highlight=False)


def difference(row) -> str:
    """ "+14 (1 to 31)", or nothing where the verdict gives no figure."""
    if row.verdict in UNTOLD or row.difference != row.difference:
        return ""
    return f"{row.difference:+.0f} ({row.low:.0f} to {row.high:.0f})"


def _words(name: str) -> str:
    return name.replace("_", " ")
