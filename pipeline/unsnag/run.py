"""The steps of a run, as the command line calls them: build, analyse, publish, report."""

import hashlib
import json
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

import duckdb

from unsnag import __version__, analyse, briefs, editions, feedback, link_review, own, publish, steward, store
from unsnag.databases import reading, swapped_in
from unsnag.errors import Problem, UnsnagError
from unsnag.report import own_words, write_report, write_tables
from unsnag.share.release import write_release
from unsnag.workspace import Workspace

Tell = Callable[[str], None]


@dataclass(frozen=True)
class Made:
    """What a whole run made, and what the user must still act on."""

    files: tuple[Path, ...]
    year: int
    as_of: date
    problems: tuple[UnsnagError, ...]


def everything(workspace: Workspace, year: int | None, as_of: date | None, tell: Tell) -> Made:
    """exports → store → analyses → public database → the year's report.

    as_of : use only what was there on that day, and write into folders of its own
    """
    workspace = workspace.known_on(as_of)
    built = store.build(workspace, tell)
    analyse_and_publish(workspace, tell)
    made = report(workspace, year, tell)
    tell("writing the councils' briefs")
    if written := council_briefs(workspace, None, year):
        made.append(written[0].parent)
    if not workspace.is_aside:
        tell("writing the clinics' feedback")
        feedback.write_all(workspace)
        with reading(workspace.store) as connection:
            link_review.write(link_review.gather(connection), workspace.made("private") / "links.html")
        year_made = made_year(workspace, year)
        changes = editions.since(workspace, year_made)
        steward.write(workspace, year_made, bool(changes and (changes.figures or changes.reasons)))
        made.append(workspace.made("private"))
    codebook = workspace.made("out") / "codebook.html"
    return Made(
        (workspace.store, workspace.public, codebook, *made),
        made_year(workspace, year),
        built.as_of,
        built.problems,
    )


def analyse_and_publish(workspace: Workspace, tell: Tell) -> dict[str, int]:
    """Compute every analysis on the store and publish what sql/5_public selects."""
    require(workspace.store, f"unsnag build {workspace.folder}")
    own_ones = own_analyses(workspace, own.compute_all)
    with changed_copy(workspace.store) as connection:
        as_of = connection.execute("select as_of from run.about").fetchone()[0]
        parameters = store.parameters(workspace, as_of)
        rows = analyse.run(
            connection, parameters | {"questions": workspace.questions, "siting": workspace.siting}, tell
        )
        rows |= own.write(connection, own_ones, parameters["minimum_clinics"], parameters["minimum_cell"])
        publish.build_public(connection, parameters, tell)
    tell("writing out/public.duckdb")
    publish.write_public(workspace.store, workspace.public)
    tell("writing the codebook")
    write_release(workspace.public, workspace.made("out"))
    return rows


def own_analyses(workspace: Workspace, how: Callable) -> list[own.Own]:
    """The analyses in the workspace's folder analyses/, computed or checked on the store."""
    with reading(workspace.store) as connection:
        as_of = connection.execute("select as_of from run.about").fetchone()[0]
    return how(workspace.folder, workspace.store, store.parameters(workspace, as_of))


def changed_copy(path: Path):
    """A copy of a store to be changed and swapped in, so that a run that fails leaves the last good one."""
    return swapped_in(path, start_from=path)


def report(workspace: Workspace, year: int | None, tell: Tell) -> list[Path]:
    """Write out/<year>/: report.html, report.pdf, pictures/, tables/*.csv, manifest.json."""
    require(workspace.public, f"unsnag analyse {workspace.folder}")
    year = made_year(workspace, year)
    folder = workspace.made("out") / str(year)
    shutil.rmtree(folder / "tables", ignore_errors=True)
    folder.mkdir(parents=True, exist_ok=True)
    tell(f"writing the report of {year}")
    made = write_report(
        workspace.public, year, folder, own_words.read(workspace.folder, year), since(workspace, year)
    )
    write_tables(workspace.public, folder)
    manifest = folder / "manifest.json"
    manifest.write_text(
        json.dumps(manifest_of(workspace, year), indent=2, ensure_ascii=False) + "\n", "utf-8"
    )
    return [*made, folder / "tables", manifest]


def council_briefs(workspace: Workspace, council: str | None, year: int | None) -> list[Path]:
    """Write out/<year>/sites/<council>/ of one council or all; nothing where the workspace has no sites.

    Raises  Problem: the analyses have not been run, or there is no such council
    """
    require(workspace.public, f"unsnag run {workspace.folder}")
    frames = briefs.read(workspace.public)
    known = briefs.councils(frames)
    if council and council not in known:
        listed = (
            f"Name one of: {', '.join(known)}" if known else "Add councils and sites to places/ and run again"
        )
        raise Problem("--council", f"there is no council '{council}' with sites", listed)
    folder = workspace.made("out") / str(made_year(workspace, year)) / "sites"
    return briefs.write_briefs(frames, folder, [council] if council else known)


def since(workspace: Workspace, year: int) -> tuple[str, ...]:
    """What has changed since the year's report was published, in sentences; of a past day nothing is said."""
    changes = None if workspace.is_aside else editions.since(workspace, year)
    return changes.sentences if changes else ()


def publish_edition(workspace: Workspace, year: int, reason: str) -> editions.Edition:
    """Keep the year's report as it is, as an edition that can be cited."""
    require(workspace.store, f"unsnag run {workspace.folder}")
    return editions.freeze(workspace, year, manifest_of(workspace, year), reason)


def require(path: Path, command: str) -> None:
    """Raises  Problem: the step before has not been run."""
    if not path.is_file():
        raise Problem(str(path), "this file is not there yet", f"First run: {command}")


def made_year(workspace: Workspace, year: int | None) -> int:
    """The year asked for, or the last one that was over on the as-of day."""
    if year is not None:
        return year
    with reading(workspace.store) as connection:
        as_of = connection.execute("select as_of from run.about").fetchone()[0]
    return full_year(as_of, workspace.network.year_starts)


def full_year(as_of: date, year_starts: str) -> int:
    """The last year that was over at the end of a day; named, as in mart.case_times, for the year it begins in."""
    next_day = as_of + timedelta(days=1)
    return next_day.year - 1 - (next_day.strftime("%m-%d") < year_starts)


# What people decided, as it was used: rows that an as-of run leaves out are not in these tables.
DECISIONS = {
    "terms": "select * exclude (line) from clinic.terms order by all",
    "links": "select * exclude (line) from clinic.link_decisions order by all",
    "cohorts": "select * from clinic.cohort_steps order by all",
    "bins": "select * from place.bins order by all",
    "sites": "select * from place.sites order by all",
}


def _hash_of_rows(connection, sql: str) -> dict:
    rows = connection.execute(sql).fetchall()
    return {"rows": len(rows), "sha256": hashlib.sha256(repr(rows).encode()).hexdigest()}


def manifest_of(workspace: Workspace, year: int) -> dict:
    """What the outputs rest on: hashes of inputs, versions, numbers of rows, the as-of day. No path, no clock."""
    with reading(workspace.store) as connection:
        files = connection.execute(
            "select sha256, bytes, export_date::varchar, records_counted from raw.files order by sha256"
        ).fetchall()
        as_of = connection.execute("select as_of::varchar from run.about").fetchone()[0]
        missing = connection.execute("select count(*) from clinic.missing").fetchone()[0]
        decisions = {name: _hash_of_rows(connection, sql) for name, sql in DECISIONS.items()}
    return {
        "year": year,
        "as_of": as_of,
        "unsnag": __version__,
        "duckdb": duckdb.__version__,
        "exports": [
            dict(zip(("sha256", "bytes", "export_date", "records"), row, strict=True)) for row in files
        ],
        "clinics_missing": missing,
        "with_notes": not workspace.without_notes,
        **decisions,
        "settings": {name: _sha256(workspace.folder / name) for name in ("network.toml",)},
        "tables": public_rows(workspace.public),
    }


def public_rows(path: Path) -> dict[str, int]:
    """Table → number of rows of the public database."""
    with reading(path) as connection:
        names = connection.execute(
            "select table_name from information_schema.tables where table_schema = 'public' order by 1"
        ).fetchall()
        return {
            name: connection.execute(f"select count(*) from public.{name}").fetchone()[0] for (name,) in names
        }


def _sha256(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()
