"""What stands beside out/public.duckdb for those who work with it: the codebook, and every table as Parquet."""

import shutil
from pathlib import Path

import jinja2
from markupsafe import Markup

from unsnag import resources
from unsnag.csv_text import csv_text
from unsnag.databases import reading
from unsnag.models import literal
from unsnag.report.html import typefaces
from unsnag.share.codebook import Codebook, read_codebook

HEADING = ("kind", "table", "column", "vocabulary", "code", "label", "meaning", "type", "darwin_core")

TYPES = {
    "VARCHAR": "text", "BIGINT": "whole number", "INTEGER": "whole number", "DOUBLE": "number",
    "BOOLEAN": "true or false", "DATE": "day",
}  # fmt: skip


def write_release(public: Path, folder: Path) -> list[Path]:
    """Write ``codebook.html``, ``codebook.csv`` and ``parquet/<table>.parquet`` into a folder; returns these paths.

    public : the public database; nothing else is read
    """
    book = read_codebook(public)
    page, sheet = folder / "codebook.html", folder / "codebook.csv"
    page.write_text(as_page(book), encoding="utf-8", newline="\n")
    sheet.write_text(as_csv(book), encoding="utf-8", newline="\n")
    return [page, sheet, write_parquet(public, folder / "parquet", [table.name for table in book.tables])]


def as_csv(book: Codebook) -> str:
    """One row for each table, column and code."""
    rows = [HEADING]
    for table in book.tables:
        rows.append(("table", table.name, "", "", "", "", table.meaning, "", ""))
        rows += [
            (
                "column",
                table.name,
                each.name,
                each.vocabulary,
                "",
                "",
                each.meaning,
                each.type,
                each.darwin_core,
            )
            for each in table.columns
        ]
    lists = [*book.codes.items(), ("", book.words_for_no_code)]
    rows += [
        ("code", "", "", name, each.code, each.label, each.definition, "", "")
        for name, codes in lists
        for each in codes
    ]
    return csv_text(rows)


def as_page(book: Codebook) -> str:
    """The whole page as text; everything it needs is inside."""
    dashboards = resources.folder("dashboards")
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(dashboards / "templates"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    style = (dashboards / "templates" / "report.css").read_text(encoding="utf-8")
    return environment.get_template("codebook.html.jinja").render(
        book=book, types=TYPES, style=Markup(typefaces(dashboards / "fonts") + style)
    )


def write_parquet(public: Path, folder: Path, tables: list[str]) -> Path:
    """Every table as a Parquet file, rows in their stored order; what an earlier run wrote there goes."""
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    with reading(public) as connection:
        for name in tables:
            target = literal(str(folder / f"{name}.parquet"))
            connection.execute(f'copy (from public."{name}" order by rowid) to {target} (format parquet)')
    return folder
