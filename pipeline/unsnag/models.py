"""Find, order and build the SQL files: one SELECT a file, one table a SELECT, one schema a folder."""

import csv
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from graphlib import TopologicalSorter
from pathlib import Path

import duckdb

from unsnag import resources

SCHEMAS = {
    "1_stage": "stage",
    "1_texts": "notes",
    "2_standard": "standard",
    "3_link": "link",
    "4_mart": "mart",
    "5_withhold": "withhold",
    "5_public": "public",
    "6_feedback": "feedback",
    "checks": "checks",
}
HEADER_KEY = re.compile(r"^-- (key|from|level|remedy):\s*(.*)$")
COLUMN_LINE = re.compile(r"^--\s{3}([a-z][a-z0-9_]*): (.+)$")
PARAMETER = re.compile(r"\$([a-z_]+)")


@dataclass(frozen=True)
class Model:
    """One SQL file: what it makes, out of what, and what its header says of it."""

    path: Path
    schema: str
    table: str
    description: str
    key: tuple[str, ...]
    origins: tuple[str, ...]
    level: str
    remedy: str
    columns: dict[str, str]
    select: str

    @property
    def name(self) -> str:
        """schema.table"""
        return f"{self.schema}.{self.table}"

    @property
    def parameters(self) -> frozenset[str]:
        """The ``$names`` that the SELECT uses; DuckDB refuses to be given others."""
        return frozenset(PARAMETER.findall(self.select))


def read_model(path: Path) -> Model:
    """Read one file: comment lines at the top are its header, the rest is its SELECT."""
    lines = path.read_text(encoding="utf-8").splitlines()
    end = next((number for number, line in enumerate(lines) if not line.startswith("--")), len(lines))
    header, body = lines[:end], "\n".join(lines[end:])
    keys = {match[1]: match[2].strip() for match in map(HEADER_KEY.match, header) if match}
    columns = {match[1]: match[2].strip() for match in map(COLUMN_LINE.match, header) if match}
    return Model(
        path=path,
        schema=SCHEMAS[path.parent.name],
        table=path.stem,
        description=_first_paragraph(header),
        key=_names(keys.get("key", "")),
        origins=_names(keys.get("from", "")),
        level=keys.get("level", ""),
        remedy=keys.get("remedy", ""),
        columns=columns,
        select=body.strip().rstrip(";"),
    )


def _names(text: str) -> tuple[str, ...]:
    return tuple(name.strip() for name in text.split(",") if name.strip())


def _first_paragraph(header: list[str]) -> str:
    """The sentence or two before the first ``-- key:`` or bare ``--`` line."""
    said = []
    for line in header:
        if line == "--" or HEADER_KEY.match(line):
            break
        said.append(line.removeprefix("--").strip())
    return " ".join(said)


def find(folders: Iterable[str]) -> list[Model]:
    """The models of these folders of sql/, in an order in which each finds its origins built."""
    root = resources.folder("sql")
    models = {model.name: model for folder in folders for model in _in_folder(root / folder)}
    graph = {name: {origin for origin in model.origins if origin in models} for name, model in models.items()}
    sorter = TopologicalSorter({name: sorted(graph[name]) for name in sorted(graph)})
    return [models[name] for name in sorter.static_order()]


def _in_folder(folder: Path) -> list[Model]:
    return [read_model(path) for path in sorted(folder.glob("*.sql"))]


def load_codes(connection: duckdb.DuckDBPyConnection) -> None:
    """sql/codes/*.csv → codes.*, every cell text; and the macros that the SELECTs share (sql/macros_*.sql)."""
    connection.execute("create schema if not exists codes")
    for path in sorted((resources.folder("sql") / "codes").glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as stream:
            names = next(csv.reader(stream))
        # Told the columns, DuckDB does not guess at delimiters and comment signs.
        columns = ", ".join(f"{literal(name)}: 'VARCHAR'" for name in names)
        connection.execute(
            f"create or replace table codes.{path.stem} as select * from read_csv($path, header = true, "
            f"auto_detect = false, columns = {{{columns}}}, delim = ',', quote = '\"', escape = '\"')",
            {"path": str(path)},
        )
    for path in sorted(resources.folder("sql").glob("macros_*.sql")):
        connection.execute(path.read_text(encoding="utf-8"))


def build(
    connection: duckdb.DuckDBPyConnection,
    models: list[Model],
    parameters: dict,
    tell: Callable[[str], None] = lambda name: None,
) -> None:
    """Make the table of each model, in the order given, and write its header into the database as comments.

    parameters : name → value; each model is given those that it names
    tell       : called with the name of each table before it is built
    """
    for schema in sorted({model.schema for model in models}):
        connection.execute(f"create schema if not exists {schema}")
    for model in models:
        tell(model.name)
        given = {name: parameters[name] for name in sorted(model.parameters)}
        connection.execute(f"create or replace table {model.name} as\n{model.select}", given)
        comment(connection, model)


def comment(connection: duckdb.DuckDBPyConnection, model: Model) -> None:
    """The header's words as comments on the table and its columns (COMMENT takes no parameters)."""
    connection.execute(f"comment on table {model.name} is {literal(model.description)}")
    for column, words in model.columns.items():
        connection.execute(f"comment on column {model.name}.{column} is {literal(words)}")


def literal(text: str) -> str:
    """Text as SQL writes it, for the one statement that takes no parameters."""
    return "'" + text.replace("'", "''") + "'"
