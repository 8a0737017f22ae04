"""The list of fields, and the codes of each, as documentation made from sql/codes."""

import csv

from unsnag import resources
from unsnag.errors import Problem
from unsnag.workspace.fields import RECORDS, suggestion

HEADINGS = ("Record", "Field", "Kind", "Unit", "Darwin Core", "What it is")
CODE_HEADINGS = ("Code", "Label", "What it means")
TITLES = {
    "stay": "Stay: one admission at one clinic, [source.stay]",
    "gear_item": "Gear item: one piece of tackle, [[source.gear_item]]",
    "procedure": "Procedure: one thing done, [[source.procedure]]",
    "finding": "Finding: one thing seen or measured, [[source.finding]]",
}


def _rows(name: str) -> list[dict[str, str]]:
    path = resources.folder("sql") / "codes" / f"{name}.csv"
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def field_rows(record: str | None = None) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """Headings, and a row for each field of the model (of one record)."""
    rows = [row for row in _rows("fields") if record in (None, row["record"])]
    return HEADINGS, [
        (row["record"], row["field"], kind_of(row), row["unit"], row["darwin_core"], row["definition"])
        for row in rows
    ]


def short_rows() -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """The same for a narrow terminal: the unit beside the kind, no Darwin Core."""
    _, rows = field_rows()
    short = [
        (record, field, f"{kind}, {unit}" if unit else kind, what)
        for record, field, kind, unit, _, what in rows
    ]
    return ("Record", "Field", "Kind", "What it is"), short


def kind_of(row: dict[str, str]) -> str:
    """The kind of value, with its vocabulary where it is a term of another name."""
    is_named = row["vocabulary"] and row["vocabulary"] != row["field"]
    return f"{row['kind']} of {row['vocabulary']}" if is_named else row["kind"]


def codes_of(field: str) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """Headings, and a row for each code that may still be used in a field.

    Raises  Problem: there is no such field, or it has no codes
    """
    vocabularies = {row["field"]: row["vocabulary"] for row in _rows("fields")}
    if field not in vocabularies:
        raise Problem("unsnag fields", f"there is no field '{field}'", suggestion(field, vocabularies))
    if not vocabularies[field]:
        raise Problem(
            "unsnag fields", f"'{field}' takes any text, number or day, no codes", "See: unsnag fields"
        )
    if vocabularies[field] == "clinic":
        return CODE_HEADINGS, [("", "", "the folder names of the network's clinics")]
    rows = [row for row in _rows(vocabularies[field]) if not row["until"]]
    return CODE_HEADINGS, [(row["code"], row["label"], row["definition"]) for row in rows]


def markdown() -> str:
    """The whole list as a document, a table for each record."""
    lines = ["# What a clinic can give", "", "Made from sql/codes/fields.csv by: unsnag fields --markdown"]
    for record in RECORDS:
        headings, rows = field_rows(record)
        lines += [
            "",
            f"## {TITLES[record]}",
            "",
            f"| {' | '.join(headings[1:])} |",
            f"|{'---|' * len(headings[1:])}",
        ]
        lines += [f"| {' | '.join(cell.replace('|', chr(92) + '|') for cell in row[1:])} |" for row in rows]
    return "\n".join(lines)
