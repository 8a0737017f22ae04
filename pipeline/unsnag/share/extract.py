"""A cohort handed on: rows as CSV and Parquet, described, explained, citable, with the query that gives them again."""

import hashlib
from dataclasses import dataclass, replace
from pathlib import Path

from unsnag import __version__
from unsnag.csv_text import csv_text
from unsnag.databases import reading
from unsnag.errors import Problem
from unsnag.models import literal
from unsnag.share import cohorts, small_groups
from unsnag.share.citing import citation, read_me
from unsnag.share.codebook import Codebook, read_codebook
from unsnag.share.descriptor import CODES_FIELDS, FLOW_FIELDS, Described, allowed, package
from unsnag.share.release import as_csv, as_page

FILES = (
    "cases.csv", "cases.parquet", "codes.csv", "codebook.csv", "codebook.html", "small_groups.csv", "flow.csv",
    "query.sql", "datapackage.json", "CITATION.cff", "README.txt",
)  # fmt: skip


@dataclass(frozen=True)
class Extract:
    """What was written: the folder, the description, the small groups in it."""

    folder: Path
    described: Described
    small: tuple[small_groups.Known, ...]


def write_extract(public: Path, cohort: str, folder: Path, minimum: int) -> Extract:
    """Write the cases of a cohort, from public.* alone, into a folder.

    minimum : the network's smallest cell; smaller groups are reported, not hidden: public.cases has them too

    Raises  Problem: no such cohort, none of its cases may be listed, or the folder holds other things
    """
    query = cohorts.query_of(public, cohort)
    count = _count(public, query)
    if not count:
        raise Problem(
            cohort, "none of its cases may be listed", "See public.cohort_flow for where they were left out"
        )
    _check_folder(folder)
    folder.mkdir(parents=True, exist_ok=True)
    for name in FILES:
        (folder / name).unlink(missing_ok=True)
    _write_rows(public, query, folder)
    book = read_codebook(public)
    small = small_groups.report(folder / "cases.parquet", minimum)
    _write_words(book, folder)
    _write(folder / "query.sql", query)
    _write(folder / "small_groups.csv", small_groups.as_csv(small))
    if flow := cohorts.flow_of(public, cohort):
        _write(folder / "flow.csv", csv_text([tuple(FLOW_FIELDS), *flow]))
    described = _described(public, cohort, book, folder, count, flow)
    _write(folder / "datapackage.json", package(described, folder, book.table("cases"), book))
    _write(folder / "CITATION.cff", citation(described))
    _write(folder / "README.txt", read_me(described))
    return Extract(folder, described, small)


def _check_folder(folder: Path) -> None:
    """An earlier extract is written anew; other people's files are never written among."""
    strange = (
        sorted(path.name for path in folder.iterdir() if path.name not in FILES) if folder.is_dir() else []
    )
    if folder.exists() and not folder.is_dir():
        raise Problem(str(folder), "this is a file", "Name a folder after --to")
    if strange:
        raise Problem(str(folder), f"the folder holds other things ({strange[0]})", "Name a new folder")


def _write(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8", newline="\n")


def _count(public: Path, query: str) -> int:
    with reading(public) as connection:
        return connection.execute(f"select count(*) from ({query})").fetchone()[0]


def _write_rows(public: Path, query: str, folder: Path) -> None:
    """cases.csv and cases.parquet."""
    kinds = {"cases.csv": "format csv, header true", "cases.parquet": "format parquet"}
    with reading(public) as connection:
        for name, kind in kinds.items():
            connection.execute(f"copy ({query}) to {literal(str(folder / name))} ({kind})")


def _write_words(book: Codebook, folder: Path) -> None:
    """The codebook of the cases alone, and its codes as a table of their own."""
    cases = book.table("cases")
    short = replace(book, tables=(cases,), codes={name: book.codes[name] for name in cases.vocabularies})
    _write(folder / "codebook.csv", as_csv(short))
    _write(folder / "codebook.html", as_page(short))
    rows = {
        (column.vocabulary, code.code): (code.label, code.definition)
        for column in cases.columns
        if column.vocabulary
        for code in allowed(column, book)
    }
    _write(
        folder / "codes.csv",
        csv_text([tuple(CODES_FIELDS), *((*key, *words) for key, words in rows.items())]),
    )


def _described(
    public: Path, cohort: str, book: Codebook, folder: Path, count: int, flow: list[tuple]
) -> Described:
    """The version is the day and the beginning of the hash of the rows: the same rows are the same version."""
    digest = hashlib.sha256((folder / "cases.csv").read_bytes()).hexdigest()
    steps = flow[1:]
    return Described(
        cohort=cohort,
        title=cohorts.titles(public)[cohort],
        version=f"{book.about['as_of']}+{digest[:12]}",
        cases=count,
        unsnag=__version__,
        conditions="; ".join(reason for _, reason, *_ in steps),
        withheld=sum(withheld or 0 for *_, withheld, _ in steps),
        about=book.about,
    )
