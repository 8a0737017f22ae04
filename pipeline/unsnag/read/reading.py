"""A source's files → raw.*: each read once by the main reader, counted once by the independent one."""

from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

import duckdb

from unsnag.errors import Problem, UnsnagError, raise_all
from unsnag.read import files, tables
from unsnag.read.clean import CleanFile, write_clean
from unsnag.read.counting import count_records
from unsnag.read.delimited import read_delimited
from unsnag.read.header import check_header
from unsnag.read.json_lines import read_items, read_json_lines
from unsnag.read.names import column_key
from unsnag.read.parquet import read_parquet
from unsnag.read.records import Records, Refusal
from unsnag.read.sieve import PrivateColumns, Sieve
from unsnag.read.source import FileRecord, SourceLayout
from unsnag.read.text import encoding_of
from unsnag.read.workbook import read_workbook, refuse_what_is_no_workbook

NUMBERS = ("_row",)
NESTED_NUMBERS = ("_row", "_item")


@dataclass(frozen=True)
class ReadFile:
    """A file that the main reader is through with: clean files to load, and the books on it.

    totals_rows, left_out_rows, refused : what the sieve held back; of refused records, row and refusal
    clean                               : None (the main table) or a nested list's name → its clean file
    """

    path: str
    surveyed: files.Survey
    export_date: date | None
    encoding: str
    counted: int
    title_rows: int
    totals_rows: int
    left_out_rows: int
    refused: tuple[tuple[int, Refusal], ...]
    clean: dict[str | None, CleanFile]


def read_source(
    connection: duckdb.DuckDBPyConnection, layout: SourceLayout, first_file_id: int
) -> list[FileRecord]:
    """Read every file of a source and load what it holds: read_files, then load_files.

    Raises  Problem, Problems: what is wrong with any of the files; nothing has been loaded then
    """
    with TemporaryDirectory(prefix="unsnag-") as folder:
        return load_files(connection, layout, read_files(layout, Path(folder)), first_file_id)


def load_files(
    connection: duckdb.DuckDBPyConnection, layout: SourceLayout, read: list[ReadFile], first_file_id: int
) -> list[FileRecord]:
    """Files that were read → ``raw."<clinic>__<name>"`` (made anew) and its nested lists' tables.

    All columns are text, empty cells null; ``_file``, ``_row`` (and ``_item``) are integers. One row a file is
    added to raw.files, one row a refused record to raw.refused; both tables are made if they are missing.
    The clean files are gone afterwards.

    first_file_id : the id of the first file; the others, in the order of their names, count on from it
    Returns  what raw.files now says of these files
    Raises   Problem, Problems: the two readers count differently
    """
    _load(connection, layout, read, first_file_id)
    records = [_record(connection, layout, file, first_file_id + place) for place, file in enumerate(read)]
    raise_all(_disagreements(records))
    for record, file in zip(records, read, strict=True):
        tables.note_file(connection, record)
        tables.note_refused(connection, record, file.refused)
    return records


def read_files(layout: SourceLayout, folder: Path) -> list[ReadFile]:
    """Every file of a source through the main reader into clean files, which are put into the folder.

    Raises  Problem, Problems: what is wrong with any of the files
    """
    private = PrivateColumns(layout)
    read, problems = [], []
    for number, path in enumerate(files.matched_files(layout)):
        try:
            read.append(_read_file(layout, path, private, folder / str(number)))
        except UnsnagError as problem:
            problems.append(problem)
        except OSError as error:
            name = files.workspace_path(layout, path)
            problems.append(
                Problem(name, f"the file cannot be opened ({error.strerror})", "Check its permissions")
            )
    # Of the files up to an earlier day, all may lack a private column that came later.
    raise_all(problems or ([] if layout.until else _never_found(layout, private, read)))
    return read


def _read_file(layout: SourceLayout, path: Path, private: PrivateColumns, stem: Path) -> ReadFile:
    exported, surveyed = files.export_date(layout, path), files.survey(path)
    encoding, records = _opened(layout, path, surveyed)
    rows: list[int] = []
    with closing(records.rows):
        check_header(layout, path, records.columns)
        sieve = Sieve(layout, records.columns, private)
        kept = sieve.kept(records.rows)
        if layout.nested:
            kept = _noted(kept, rows)
        clean = {None: write_clean(stem.with_suffix(".main"), NUMBERS, sieve.columns, kept)}
    for number, nested in enumerate(layout.nested):
        target = stem.with_suffix(f".nested{number}")
        clean[nested] = _read_nested(layout, path, encoding, private, nested, rows, target)
    name, counted = files.workspace_path(layout, path), count_records(layout, path, encoding)
    held_back = sieve.totals_rows, sieve.left_out_rows, tuple(sieve.refused)
    return ReadFile(name, surveyed, exported, encoding, counted, records.title_rows, *held_back, clean)


def _opened(layout: SourceLayout, path: Path, surveyed: files.Survey) -> tuple[str, Records]:
    """Encoding ("" for binary formats) and records of a file of any format."""
    if layout.format == "workbook":
        refuse_what_is_no_workbook(layout, path, surveyed)
        return "", read_workbook(layout, path)
    if layout.format == "parquet":
        return "", read_parquet(layout, path)
    encoding = encoding_of(layout, path, surveyed)
    if layout.format == "json_lines":
        return encoding, read_json_lines(layout, path, encoding)
    return encoding, read_delimited(layout, path, encoding, surveyed)


def _noted(kept: Iterator[list[str]], rows: list[int]) -> Iterator[list[str]]:
    """Pass the records on and note their rows: only their nested lists may be stored."""
    for cells in kept:
        rows.append(int(cells[0]))
        yield cells


def _read_nested(
    layout: SourceLayout,
    path: Path,
    encoding: str,
    private: PrivateColumns,
    nested: str,
    rows: list[int],
    target: Path,
) -> CleanFile:
    columns, items = read_items(layout, path, encoding, nested, rows)
    sieve = Sieve(replace(layout, only={}), columns, private, prefix=column_key(nested) + ".")
    records = (
        [str(row), str(item), *sieve.storable([flat.get(name, "") for name in columns])]
        for row, item, flat in items
    )
    return write_clean(target, NESTED_NUMBERS, sieve.columns, records)


def _never_found(layout: SourceLayout, private: PrivateColumns, read: list[ReadFile]) -> list[Problem]:
    """Private names that no file has; nobody can tell as long as a nested list has no object in any file."""
    if any(all(file.clean[nested].longest_bytes == 0 for file in read) for nested in layout.nested):
        return []
    return [
        Problem(
            f"{layout.clinic}, source {layout.name}",
            f"no file has the private column '{name}', so what it was to hide might be stored under another name",
            f"Correct or remove it in private in clinics/{layout.clinic}/clinic.toml",
        )
        for name in private.never_found
    ]


def _load(
    connection: duckdb.DuckDBPyConnection, layout: SourceLayout, read: list[ReadFile], first_file_id: int
) -> None:
    tables.create_books(connection)
    for nested in (None, *layout.nested):
        table = tables.table_name(layout, nested)
        numbers = NESTED_NUMBERS if nested else NUMBERS
        tables.create_table(connection, table, numbers, [file.clean[nested] for file in read])
        for place, file in enumerate(read):
            tables.load(connection, table, first_file_id + place, file.clean[nested])
            file.clean[nested].path.unlink()


def _record(
    connection: duckdb.DuckDBPyConnection, layout: SourceLayout, file: ReadFile, file_id: int
) -> FileRecord:
    """The books on one file: the independent count, the sieve's counts, and what DuckDB holds."""
    return FileRecord(
        file_id=file_id,
        clinic=layout.clinic,
        source=layout.name,
        path=file.path,
        sha256=file.surveyed.sha256,
        bytes=file.surveyed.size,
        export_date=file.export_date,
        encoding=file.encoding,
        records_counted=file.counted,
        title_rows=file.title_rows,
        totals_rows=file.totals_rows,
        left_out_rows=file.left_out_rows,
        refused_rows=len(file.refused),
        raw_rows=tables.count_of_file(connection, tables.table_name(layout), file_id),
    )


def _disagreements(records: list[FileRecord]) -> list[Problem]:
    """Files of which the two readers do not count the same: a record may have been lost or made up."""
    return [
        Problem(
            record.path,
            f"one reader counts {record.records_counted} records, the other {_accounted(record)}",
            "Look for an unusual quote mark or delimiter and correct the file or clinic.toml; "
            "if both are in order, report this as a fault of unsnag",
        )
        for record in records
        if record.records_counted != _accounted(record)
    ]


def _accounted(record: FileRecord) -> int:
    held_back = record.title_rows + record.totals_rows + record.left_out_rows + record.refused_rows
    return held_back + record.raw_rows
