"""Build the store: from the exports over raw.* to mart.* and checks.*, in a new file, then swapped in."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import date
from itertools import islice
from pathlib import Path
from tempfile import TemporaryDirectory

from unsnag import __version__, checks, layout, link, models, notes_tables, places, settings_tables
from unsnag.databases import swapped_in
from unsnag.errors import Problem, Problems, UnsnagError, raise_all
from unsnag.read.files import matched_files
from unsnag.read.reading import load_files
from unsnag.read.side_by_side import read_each
from unsnag.read.source import SourceLayout
from unsnag.read.tables import create_books
from unsnag.workspace import Clinic, Source, Workspace
from unsnag.workspace.fields import kinds
from unsnag.workspace.load import withdrawn_codes
from unsnag.workspace.terms import withdrawn

FOLDERS = ("1_stage", "1_texts", "2_standard", "3_link", "4_mart", "checks")
PLACED = {"most_uncertain_m", "just_outside_m", "least_tackle", "least_share"}
PLAIN_KINDS = frozenset({"key", "date", "number", "count", "term"})


@dataclass(frozen=True)
class Built:
    """What a build made: the store's path, the day it speaks of, and the clinics that could not be read."""

    store: Path
    as_of: date
    problems: tuple[UnsnagError, ...]


def build(workspace: Workspace, tell: Callable[[str], None] = lambda what: None) -> Built:
    """Read the exports and build all private tables.

    workspace : with an as-of day only the exports dated up to it are read, and the analyses speak of that day;
                else all, and of the newest export's day
    tell      : called with what is being done, for a progress line
    """
    with swapped_in(workspace.store) as connection:
        models.load_codes(connection)
        problems = fill(connection, workspace, tell)
        as_of = workspace.as_of or newest_export(connection)
        raise_all(withdrawn(workspace.folder, workspace.terms, withdrawn_codes(), as_of))
        settings_tables.write_shared_words(connection, as_of)
        connection.execute("create schema if not exists run")
        connection.execute(
            "create table run.about as select $as_of::date as as_of, $version as version",
            {"as_of": as_of, "version": __version__},
        )
        given = parameters(workspace, as_of)
        models.build(connection, models.find(FOLDERS[:2]), given, tell)
        tell("notes.facts")
        notes_tables.write(connection, workspace.shorthand, is_read=not workspace.without_notes)
        models.build(connection, models.find(FOLDERS[2:3]), given, tell)
        tell("place.points")
        places.locate(connection, workspace.places, workspace.siting.at_site_m)
        decisions = workspace.folder / "decisions" / "links.csv"
        problems += link.build(connection, given, tell, decisions, is_past=workspace.as_of is not None)
        models.build(connection, models.find(FOLDERS[4:]), given, tell)
        checks.gather(connection)
        models.build(connection, models.find(["6_feedback"]), parameters(workspace, as_of), tell)
    return Built(workspace.store, as_of, tuple(problems))


def fill(connection, workspace: Workspace, tell) -> list[UnsnagError]:
    """raw.* and layout.*, clinic by clinic; a clinic that cannot be read is left out whole and named."""
    workspace = with_exports(workspace)
    settings_tables.write(connection, workspace)
    siting = workspace.siting
    places.write(connection, workspace.places, siting.reasons, siting.rules)
    create_books(connection)
    layout.create_tables(connection)
    problems: list[UnsnagError] = []
    missing = []
    with TemporaryDirectory(prefix="unsnag-") as folder:
        layouts = [
            source_layout(workspace, clinic, source)
            for clinic in workspace.clinics
            for source in clinic.source
        ]
        read = read_each(layouts, Path(folder))
        for clinic in workspace.clinics:
            tell(f"reading {clinic.name}")
            found = islice(read, len(clinic.source))
            wrong = _read_clinic(connection, clinic, found, is_past=workspace.as_of is not None)
            problems += wrong
            if wrong:
                missing.append((clinic.name,))
                _forget(connection, clinic)
    connection.execute("create or replace table clinic.missing (clinic varchar)")
    if missing:
        connection.executemany("insert into clinic.missing values (?)", missing)
    if len(missing) == len(workspace.clinics):
        nothing = Problem("clinics", "no clinic could be read", "Mend the problems above and run again")
        raise Problems([*problems, nothing])
    return problems


def with_exports(workspace: Workspace) -> Workspace:
    """The workspace as of its day: a source, or a clinic, that had sent nothing yet was not there yet.

    Raises  Problem: nobody had sent anything
    """
    if workspace.as_of is None:
        return workspace
    clinics = []
    for clinic in workspace.clinics:
        sent = tuple(source for source in clinic.source if _had_sent(workspace, clinic, source))
        if sent:
            clinics.append(clinic.model_copy(update={"source": sent}))
    if not clinics:
        raise Problem(
            "the exports", f"none is dated {workspace.as_of} or earlier", "Give a later day with --as-of"
        )
    names = {clinic.name for clinic in clinics}
    terms = tuple(term for term in workspace.terms if term.clinic in names)
    return replace(workspace, clinics=tuple(clinics), terms=terms)


def _had_sent(workspace: Workspace, clinic: Clinic, source: Source) -> bool:
    try:
        return bool(matched_files(source_layout(workspace, clinic, source)))
    except UnsnagError:
        return True  # said again, of this clinic alone, when its files are read


def _read_clinic(connection, clinic: Clinic, read: Iterable, is_past: bool) -> list[UnsnagError]:
    """All sources of a clinic, as read_each gives them, then its layout; every source tells what is wrong with it."""
    problems: list[UnsnagError] = []
    for source, found in read:
        first = connection.execute("select coalesce(max(file_id), 0) + 1 from raw.files").fetchone()[0]
        try:
            if isinstance(found, UnsnagError):
                raise found
            load_files(connection, source, found, first)
        except UnsnagError as error:
            problems.append(error)
    return problems or list(layout.fill(connection, clinic, is_past=is_past))


def _forget(connection, clinic: Clinic) -> None:
    """Take out what a half-read clinic has left: part of a clinic would bias every rate."""
    tables = connection.execute(
        "select table_name from information_schema.tables where table_schema = 'raw' and starts_with(table_name, ?)",
        [clinic.name + "__"],
    ).fetchall()
    for (table,) in tables:
        connection.execute(f"drop table raw.{layout.quoted(table)}")
    for table in ("raw.files", "raw.refused", *(f"layout.{name}" for name in layout.TABLES.values())):
        connection.execute(f"delete from {table} where clinic = ?", [clinic.name])


def source_layout(workspace: Workspace, clinic: Clinic, source: Source) -> SourceLayout:
    """What the reading room needs to know of a source."""
    return SourceLayout(
        clinic=clinic.name,
        folder=workspace.folder / "clinics" / clinic.name,
        nested=tuple(sorted({block.each for _, block in source.blocks if block.each})),
        plain_columns=plain_columns(source),
        until=workspace.as_of,
        **source.model_dump(include=SHARED),
    )


SHARED = {
    "name", "files", "format", "delimiter", "encoding", "quote", "sheet", "title_rows", "totals", "export_date",
    "export_date_in_name", "decimal", "missing", "private", "only",
}  # fmt: skip


def plain_columns(source: Source) -> frozenset[str]:
    """Columns that feed only keys, dates, numbers and code words; all others are searched for contact details."""
    plain, free = set(), set()
    for record, block in source.blocks:
        for name, cell in block.cells.items():
            into = plain if kinds(record)[name] in PLAIN_KINDS else free
            into.update(
                f"{block.each}.{column}"
                if block.each and not column.startswith("..")
                else column.removeprefix("..")
                for column in cell.columns
            )
    return frozenset(plain - free)


def newest_export(connection) -> date:
    """The default as-of day: the date of the newest export."""
    newest = connection.execute("select max(export_date) from raw.files").fetchone()[0]
    if newest is None:
        raise Problem("the exports", "no export has a date", "State export_date in clinic.toml")
    return newest


def parameters(workspace: Workspace, as_of: date) -> dict:
    """Every ``$name`` that a SQL file may use."""
    publication, region = workspace.network.publication, workspace.network.region
    return {
        "as_of": as_of,
        "year_starts": workspace.network.year_starts,
        "minimum_for_percentage": publication.minimum_for_percentage,
        "minimum_clinics": publication.minimum_clinics,
        "minimum_cell": publication.minimum_cell,
        "grid_degrees": publication.grid_degrees,
        "clinics_for_letters": publication.clinics_for_letters,
        "south": region.south,
        "north": region.north,
        "west": region.west,
        "east": region.east,
        "horizon_days": workspace.network.horizon_days,
        "pseudonym_key": workspace.pseudonym_key,
        **workspace.siting.model_dump(include=PLACED),
    }
