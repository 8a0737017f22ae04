"""The codebook: every published table, column and code in words, out of the database's comments and sql/codes."""

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from unsnag import resources
from unsnag.databases import reading

DARWIN_CORE = "http://rs.tdwg.org/dwc/terms/"


@dataclass(frozen=True)
class Code:
    """A code of a vocabulary, or a word that stands where there is none."""

    code: str
    label: str
    definition: str


@dataclass(frozen=True)
class Column:
    """A published column.

    type        : as DuckDB names it
    vocabulary  : the list of its codes, "" for none
    darwin_core : the IRI of the Darwin Core term, "" for none
    """

    name: str
    type: str
    meaning: str
    vocabulary: str
    darwin_core: str


@dataclass(frozen=True)
class Table:
    """A published table with the number of its rows."""

    name: str
    meaning: str
    rows: int
    columns: tuple[Column, ...]

    @property
    def vocabularies(self) -> list[str]:
        """The lists of codes that its columns use, by name."""
        return sorted({column.vocabulary for column in self.columns} - {""})


@dataclass(frozen=True)
class Codebook:
    """Tables by name, and the codes of every vocabulary that one of them uses."""

    about: dict[str, str]
    tables: tuple[Table, ...]
    codes: dict[str, tuple[Code, ...]]
    words_for_no_code: tuple[Code, ...]

    def table(self, name: str) -> Table:
        """The table of this name.

        Raises  KeyError: it is not published
        """
        return {table.name: table for table in self.tables}[name]


def read_codebook(public: Path) -> Codebook:
    """Read the words that stand in a public database."""
    with reading(public) as connection:
        tables = tuple(_table(connection, *row) for row in connection.execute(TABLES).fetchall())
        about = dict(connection.execute("select key, value from public.about").fetchall())
    used = sorted({name for table in tables for name in table.vocabularies})
    return Codebook(about, tables, {name: codes_of(name) for name in used}, words_for_no_code())


TABLES = (
    "select table_name, coalesce(comment, '') from duckdb_tables() "
    "where database_name = 'pooled' and schema_name = 'public' order by table_name"
)
COLUMNS = (
    "select column_name, data_type, coalesce(comment, '') from duckdb_columns() "
    "where database_name = 'pooled' and schema_name = 'public' and table_name = ? order by column_index"
)


def _table(connection, name: str, meaning: str) -> Table:
    rows = connection.execute(f'select count(*) from public."{name}"').fetchone()[0]
    columns = [
        Column(column, kind, words, vocabulary_of(column), darwin_core_of(column))
        for column, kind, words in connection.execute(COLUMNS, [name]).fetchall()
    ]
    return Table(name, meaning, rows, tuple(columns))


@cache
def _rows(name: str) -> list[dict[str, str]]:
    path = resources.folder("sql") / "codes" / f"{name}.csv"
    if not path.is_file():
        return []
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def _field(column: str) -> dict[str, str]:
    """What fields.csv says of the clinics' field that a published column carries."""
    name = column.removesuffix("_code")
    return next((row for row in _rows("fields") if row["field"] == name), {})


def vocabulary_of(column: str) -> str:
    """The vocabulary of a column, "" for none.

    ``gear_code`` has that of the field gear; ``outcome_class`` is named for a vocabulary that no field of the clinics
    has. Any other column that happens to bear a field's name holds words of its own.
    """
    name = column.removesuffix("_code")
    field = _field(column)
    if column == name and field:
        return ""
    return field.get("vocabulary") or (name if "code" in next(iter(_rows(name)), {}) else "")


def darwin_core_of(column: str) -> str:
    """The IRI of the Darwin Core term that a column carries, "" for none."""
    published = {row["column"]: row["darwin_core"] for row in _rows("published_terms")}
    term = published.get(column) or _field(column).get("darwin_core", "")
    return DARWIN_CORE + term if term else ""


@cache
def codes_of(vocabulary: str) -> tuple[Code, ...]:
    """The codes of a vocabulary, those withdrawn among them, in the order of their file."""
    return tuple(
        Code(
            row["code"],
            row["label"],
            ". ".join(filter(None, (row.get("scientific_name"), row["definition"]))),
        )
        for row in _rows(vocabulary)
    )


def words_for_no_code() -> tuple[Code, ...]:
    """What may stand in place of any code."""
    return tuple(Code(row["word"], row["label"], row["definition"]) for row in _rows("words_for_no_code"))
