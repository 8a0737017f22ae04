"""Write the steward's page from the store. It names clinics and their words: it is private."""

from pathlib import Path

import jinja2
import pandas
from markupsafe import Markup

from unsnag import checks, editions, resources
from unsnag.databases import reading
from unsnag.report import pictures
from unsnag.report.html import typefaces
from unsnag.steward import history
from unsnag.steward.tasks import State, tasks
from unsnag.workspace import Workspace

WORDS = """
select clinic, field, word, times from standard.coded_words
where code = 'unmapped'
order by times desc, clinic, field, word
"""
SUMS = """
select run.as_of, run.version, (select count(*) from clinic.missing) as clinics_missing,
    (select count(*) from raw.files) as files, (select coalesce(sum(raw_rows), 0)::bigint from raw.files) as records,
    (select count(*) from mart.cases) as cases, (select count(*) from mart.cases where is_tackle) as tackle_cases,
    (select count(*) from standard.coded_words where code = 'unmapped') as words,
    (select count(*) from feedback.questions) as questions
from run.about as run
"""
SHOWN_WORDS = 25


def write(workspace: Workspace, year: int, changed: bool) -> Path:
    """Write ``private/steward.html``, and a line of ``private/runs.csv`` if this run found something new.

    year    : the year of the report
    changed : whether anything has changed since its newest edition
    """
    folder = workspace.made("private")
    folder.mkdir(parents=True, exist_ok=True)
    with reading(workspace.store) as connection:
        clinics = connection.sql("select * from feedback.clinics order by label").df()
        completeness = connection.sql(
            "select coalesce(label, clinic) as label, admission_year, percent from feedback.completeness_by_year "
            "inner join clinic.clinics using (clinic) order by label, admission_year"
        ).df()
        words = connection.execute(WORDS).fetchall()
        run = connection.sql(SUMS).df().iloc[0].to_dict()
        state = _state(connection, workspace, clinics, words, year, changed)
    run["as_of"] = run["as_of"].date()
    runs = history.remember(folder / "runs.csv", run)
    page = folder / "steward.html"
    page.write_text(_render(workspace, state, run, runs, completeness), encoding="utf-8", newline="\n")
    return page


def _state(connection, workspace, clinics, words, year, changed) -> State:
    (grey,) = connection.execute("select count(*) from link.grey_pairs").fetchone()
    (refused,) = connection.execute(
        "select count(*) from checks.found inner join checks.rules using (rule) where level = 'refused'"
    ).fetchone()
    edition = editions.newest(workspace, year)
    rows = clinics.astype(object).where(clinics.notna(), None).to_dict("records")
    for row in rows:
        row["newest_export"] = row["newest_export"] and row["newest_export"].date()
    return State(
        rows, len(checks.broken_laws(connection)), refused, words, grey, year,
        edition.number if edition else 0, changed, workspace.folder.name,
    )  # fmt: skip


def _render(
    workspace: Workspace, state: State, run: dict, runs: list[dict], completeness: pandas.DataFrame
) -> str:
    dashboards = resources.folder("dashboards")
    pictures.use_typefaces(dashboards / "fonts")
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(dashboards / "templates"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    style = (dashboards / "templates" / "report.css").read_text(encoding="utf-8")
    years = sorted(completeness["admission_year"].unique())
    table = completeness.pivot_table("percent", "label", "admission_year", sort=True)
    return environment.get_template("steward.html.jinja").render(
        network=workspace.network,
        run=run,
        runs=runs[: -history.SHOWN - 1 : -1],
        state=state,
        tasks=tasks(state),
        words=state.words[:SHOWN_WORDS],
        years=years,
        completeness=[(label, [table.loc[label].get(year) for year in years]) for label in table.index],
        style=Markup(typefaces(dashboards / "fonts") + style),
    )
