"""Small invented workspaces for tests: CSV text whose headings are the model's field names, built as any other."""

from dataclasses import dataclass
from pathlib import Path
from textwrap import dedent

from unsnag import run, store
from unsnag.databases import reading
from unsnag.workspace import load
from unsnag.workspace.fields import field_names

NETWORK = 'name = "Small invented network"\ninvented = true\n'


def quiet(what: str) -> None:
    """Nobody watches a test's progress."""


@dataclass(frozen=True)
class Built:
    """A workspace that has been built: ask its store or its public database."""

    folder: Path

    def rows(self, sql: str) -> list[tuple]:
        """The rows of a SELECT on the private store."""
        return _rows(self.folder / "store" / "cases.duckdb", sql)

    def public(self, sql: str) -> list[tuple]:
        """The rows of a SELECT on the public database."""
        return _rows(self.folder / "out" / "public.duckdb", sql)

    def one(self, sql: str):
        """The single value of a SELECT on the store."""
        ((value,),) = self.rows(sql)
        return value

    def values(self, sql: str) -> dict:
        """First column → second column of a SELECT on the store."""
        return dict(self.rows(sql))


def _rows(path: Path, sql: str) -> list[tuple]:
    with reading(path) as connection:
        return connection.execute(sql).fetchall()


def write_text(path: Path, text: str) -> Path:
    """Write a file with its folders, the text without its common indent."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(dedent(text).lstrip("\n"), encoding="utf-8", newline="")
    return path


def write_network(folder: Path, settings: str = "") -> Path:
    """network.toml and the secret of the pseudonyms."""
    write_text(folder / "network.toml", NETWORK + dedent(settings))
    write_text(folder / "decisions" / "pseudonyms.key", "invented-secret-of-a-test")
    return folder


def write_clinic(
    folder: Path,
    name: str,
    stays: str | dict[str, str],
    *,
    settings: str = 'export_date = 2024-01-31\ndate_order = "ymd"',
    terms: str = "",
    head: str = "",
    cells: str = "",
    blocks: str = "",
    units: dict[str, str] | None = None,
    sheets: dict[str, str] | None = None,
) -> None:
    """One clinic whose columns are named for the model's fields.

    stays    : CSV text, or file name → CSV text
    settings : lines of its [[source]]; head: lines above it; blocks: TOML behind it
    cells    : lines of its [source.stay] for fields that no column is named for
    terms    : rows of terms.csv without the heading
    sheets   : record → CSV text, for procedures and the like in files of their own
    """
    files = stays if isinstance(stays, dict) else {"stays.csv": stays}
    place = folder / "clinics" / name
    for file, text in files.items():
        write_text(place / "exports" / "stays" / file, text)
    toml = [
        head,
        _source("stays", "exports/stays/*.csv", settings, "stay", next(iter(files.values())), units),
    ]
    toml += [cells, blocks]
    for record, text in (sheets or {}).items():
        write_text(place / "exports" / record / f"{record}.csv", text)
        toml.append(_source(record, f"exports/{record}/*.csv", settings, record, text, None))
    write_text(place / "clinic.toml", "\n".join(map(dedent, toml)))
    if terms:
        write_text(place / "terms.csv", "field,term,code\n" + dedent(terms).lstrip("\n"))


def _source(name: str, files: str, settings: str, record: str, text: str, units) -> str:
    heading = dedent(text).lstrip("\n").splitlines()[0].split(",")
    known = [column for column in heading if column in field_names(record)]
    cells = [f"{column} = {_cell(column, (units or {}).get(column))}" for column in known]
    table = f"[source.{record}]" if record == "stay" else f"[[source.{record}]]"
    return "\n".join([f'[[source]]\nname = "{name}"\nfiles = "{files}"', dedent(settings), table, *cells])


def _cell(column: str, unit: str | None) -> str:
    return f'{{ column = "{column}", unit = "{unit}" }}' if unit else f'"{column}"'


def build(folder: Path, publish: bool = False) -> Built:
    """Build the store of a workspace, and its public database if asked for."""
    workspace = load(folder)
    store.build(workspace)
    if publish:
        run.analyse_and_publish(workspace, quiet)
    return Built(folder)
