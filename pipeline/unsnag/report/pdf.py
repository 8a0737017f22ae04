"""The report as a tagged PDF: the same sections as the page, set by Typst from one template.

The template gets plain data (content.json) and pictures (SVG), and adds no words of its own about the cases.
"""

import json
import re
import tempfile
import textwrap
from datetime import UTC, date, datetime
from pathlib import Path

import typst

from unsnag.report import content, pictures

STANDARD = "ua-1"  # PDF/UA-1 (ISO 14289-1): tagged, titled, every picture described
SHORT = 14  # rows; a longer table behind a picture stands in the appendix
LONGEST = 45  # rows, about a page; a longer table is for the computer and stays in its CSV file


def write_pdf(report: content.Report, drawn: dict[str, pictures.Drawn], dashboards: Path, path: Path) -> Path:
    """Set the report and write it to ``path``.

    drawn : key of a view → its picture

    Raises  typst.TypstError: the template is wrong
    """
    with tempfile.TemporaryDirectory() as name:
        desk = Path(name)
        template = (dashboards / "templates" / "report.typ").read_text(encoding="utf-8")
        (desk / "report.typ").write_text(template, encoding="utf-8")
        for key, picture in drawn.items():
            (desk / f"{key}.svg").write_text(for_print(picture.documents["desk"]), encoding="utf-8")
        drawing = (dashboards / "templates" / "line_and_float.svg").read_bytes()
        (desk / "line_and_float.svg").write_bytes(drawing)
        if report.own.sign:
            (desk / report.own.sign[0]).write_bytes(report.own.sign[1])
        (desk / "content.json").write_text(json.dumps(plain(report, drawn)), encoding="utf-8")
        typst.compile(
            str(desk / "report.typ"),
            output=str(path),
            root=str(desk),
            font_paths=[str(dashboards / "fonts")],
            ignore_system_fonts=True,
            pdf_standards=[STANDARD],
            timestamp=moment(report.about),
        )
    return path


def moment(about: dict[str, str]) -> datetime:
    """The as-of day as the document's day: a clock would change the bytes."""
    day = date.fromisoformat(about.get("as_of", "2000-01-01"))
    return datetime(day.year, day.month, day.day, tzinfo=UTC)


def plain(report: content.Report, drawn: dict[str, pictures.Drawn]) -> dict:
    """The report as dictionaries, lists and texts."""
    return {
        "title": report.title,
        "network": report.network,
        "year": report.year,
        "is_invented": report.is_invented,
        "about": report.about,
        "foreword": list(report.own.foreword),
        "contact": report.own.contact,
        "sign": report.own.sign[0] if report.own.sign else "",
        "stories": [[title, list(paragraphs)] for title, paragraphs in report.own.stories],
        "sections": [_section(section, drawn) for section in report.sections],
        "since": list(report.since),
        "left_out": list(report.left_out),
        "tables": [list(each) for each in report.tables],
    }


def _section(section: content.Section, drawn: dict) -> dict:
    return {
        "key": section.key,
        "title": section.title,
        "lead": [finding.text for finding in section.lead],
        "prose": list(section.prose),
        "facts": [vars(fact) for fact in section.facts],
        "findings": [vars(finding) for finding in section.findings],
        "views": [_view(view, drawn.get(view.key)) for view in section.views],
        "entries": [list(entry) for entry in section.entries],
        "has_tables": section.has_tables,
        "is_for_reviewers": section.is_for_reviewers,
    }


def _view(view, picture: pictures.Drawn | None) -> dict:
    is_told = view.table and len(view.table.rows) <= LONGEST
    table = _table(view.table) if is_told else None
    return {
        "key": view.key,
        "title": view.title,
        "note": view.note,
        "reading": view.reading,
        "picture": f"{view.key}.svg" if picture else "",
        "alt": picture.words if picture else "",
        "source": view.source,
        "table": table,
        "rows_in_file": len(view.table.rows) if view.table and not is_told else 0,
        "tallness": _tallness(picture.documents["desk"]) if picture else 0,
        "is_long": bool(table and view.chart and len(view.table.rows) > SHORT),
    }


def _tallness(svg: str) -> float:
    """Height over width: a picture taller than a page is set narrower."""
    _, _, width, height = map(float, re.search(r'viewBox="([^"]+)"', svg)[1].split())
    return height / width


def for_print(svg: str) -> str:
    """One family a text: Typst's reader of SVG takes no list of typefaces."""
    return re.sub(r'font-family="([^",]+),[^"]*"', r'font-family="\1"', svg)


def _table(table) -> dict:
    columns = list(zip(*table.rows, strict=True)) or [()] * len(table.columns)
    longest = [max(map(len, cells), default=0) for cells in columns]
    return {
        "caption": table.caption,
        "headers": [_broken(column, letters) for column, letters in zip(table.columns, longest, strict=True)],
        "sides": [column.side for column in table.columns],
        "shares": [min(letters, 34) for letters in longest],
        "rows": [list(row) for row in table.rows],
    }


def _broken(column, letters: int) -> str:
    """The heading of a column of figures over lines no longer than its cells: columns stay narrow on paper."""
    if column.side == "left":
        return column.header
    return "\n".join(
        textwrap.wrap(column.header, max(letters, *map(len, column.header.split())), break_long_words=False)
    )
