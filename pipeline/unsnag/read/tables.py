"""raw.* in DuckDB: a source's tables, and the books on its files."""

from collections.abc import Sequence
from dataclasses import astuple, fields

import duckdb

from unsnag.read.clean import ESCAPES, SEPARATOR, CleanFile
from unsnag.read.names import column_key
from unsnag.read.records import Refusal
from unsnag.read.source import FileRecord, SourceLayout

LINE_LIMIT = 2_000_000
FILES = """create table if not exists raw.files (file_id integer, clinic varchar, source varchar, path varchar,
    sha256 varchar, bytes bigint, export_date date, encoding varchar, records_counted bigint, title_rows bigint,
    totals_rows bigint, left_out_rows bigint, refused_rows bigint, raw_rows bigint)"""
REFUSED = """create table if not exists raw.refused (clinic varchar, source varchar, file_id integer,
    row_number integer, reason varchar, remedy varchar)"""


def quoted(name: str) -> str:
    """An identifier as SQL wants it, whatever stands in a header row."""
    return '"' + name.replace('"', '""') + '"'


def raw_table(clinic: str, source: str, nested: str | None = None) -> str:
    """The bare name of a source's table in raw; its nested lists have tables of their own."""
    return "__".join([clinic, source, *([nested] if nested else [])])


def table_name(layout: SourceLayout, nested: str | None = None) -> str:
    """The quoted name, with its schema, of the source's table or of one of its nested lists."""
    return "raw." + quoted(raw_table(layout.clinic, layout.name, nested))


def create_books(connection: duckdb.DuckDBPyConnection) -> None:
    """The schema raw with its two books."""
    connection.execute("create schema if not exists raw")
    connection.execute(FILES)
    connection.execute(REFUSED)


def create_table(
    connection: duckdb.DuckDBPyConnection, table: str, numbers: Sequence[str], files: Sequence[CleanFile]
) -> None:
    """An empty table with the columns of all files, by name in order of first sight; the first spelling stays."""
    names: dict[str, str] = {}
    for file in files:
        for name in file.columns:
            names.setdefault(column_key(name), name)
    columns = [f"{quoted(name)} integer" for name in ("_file", *numbers)]
    columns += [f"{quoted(name)} varchar" for name in names.values()]
    connection.execute(f"create or replace table {table} ({', '.join(columns)})")


def load(connection: duckdb.DuckDBPyConnection, table: str, file_id: int, file: CleanFile) -> None:
    """Append a clean file; empty cells become null."""
    names = [*file.numbers, *file.columns]
    targets = ", ".join(quoted(name) for name in ("_file", *names))
    values = ", ".join(_value(place, place in file.escaped) for place in range(len(names)))
    types = {
        f"c{place}": "INTEGER" if place < len(file.numbers) else "VARCHAR" for place in range(len(names))
    }
    line_limit = max(LINE_LIMIT, file.longest_bytes + 1)
    connection.execute(
        f"insert into {table} ({targets}) select $file_id, {values} from read_csv($path, columns = {types}, "
        f"delim = '{SEPARATOR}', quote = '', escape = '', comment = '', nullstr = '', new_line = '\\n', "
        f"header = false, auto_detect = false, encoding = 'utf-8', max_line_size = {line_limit})",
        {"file_id": file_id, "path": str(file.path)},
    )


def _value(place: int, is_escaped: bool) -> str:
    value = f"c{place}"
    for sign, escape in ESCAPES.items() if is_escaped else ():
        value = f"replace({value}, '{escape}', chr({ord(sign)}))"
    return value


def count_of_file(connection: duckdb.DuckDBPyConnection, table: str, file_id: int) -> int:
    """How many rows the table holds of one file."""
    found = connection.execute(f"select count(*) from {table} where _file = ?", [file_id])
    return found.fetchone()[0]


def note_file(connection: duckdb.DuckDBPyConnection, record: FileRecord) -> None:
    """Enter one file in raw.files."""
    marks = ", ".join("?" for _ in fields(record))
    connection.execute(f"insert into raw.files values ({marks})", astuple(record))


def note_refused(
    connection: duckdb.DuckDBPyConnection, record: FileRecord, refused: Sequence[tuple[int, Refusal]]
) -> None:
    """Enter a file's refused records in raw.refused, each with its reason and remedy."""
    rows = [(record.clinic, record.source, record.file_id, row, *refusal) for row, refusal in refused]
    if rows:
        connection.executemany("insert into raw.refused values (?, ?, ?, ?, ?, ?)", rows)
