"""The demo's exports read by plain means (csv, openpyxl, json), with nothing of the pipeline's or the maker's code."""

import csv
import json
import re
import tomllib
import unicodedata
from functools import cache
from itertools import zip_longest
from pathlib import Path

import openpyxl

DEMO = Path(__file__).resolve().parents[1] / "data_demo"
CLINICS = ("lantern_rock", "marea_alta", "quennaby", "skerrandine", "tern_street")


def path(clinic: str, pattern: str = "*") -> Path:
    """The clinic's export, the newest by name where there are two."""
    return sorted((DEMO / "clinics" / clinic / "exports").glob(pattern))[-1]


def csv_rows(file: Path, **dialect) -> list[dict]:
    """Rows of a delimited file as dictionaries."""
    with file.open(encoding=dialect.pop("encoding", "utf-8"), newline="") as stream:
        return list(csv.DictReader(stream, **dialect))


@cache
def sheet_rows(sheet: str, title_rows: int) -> list[dict]:
    """Rows of one of Quennaby's sheets as dictionaries, cells with their own types."""
    book = openpyxl.load_workbook(path("quennaby"), read_only=True)
    rows = list(book[sheet].iter_rows(min_row=title_rows + 1, values_only=True))
    # Cells after the last filled one are not stored.
    return [dict(zip_longest(rows[0], row)) for row in rows[1:]]


@cache
def main_rows(clinic: str) -> list[dict]:
    """The clinic's patient records, totals row left out; of two exports both, the earlier first."""
    if clinic == "quennaby":
        return sheet_rows("Patients", 3)
    if clinic == "tern_street":
        return [json.loads(line) for line in path(clinic).read_text("utf-8").splitlines()]
    if clinic == "marea_alta":
        rows = csv_rows(path(clinic), delimiter=";", encoding="windows-1252")
        return [row for row in rows if row["Ficha"] != "Total"]
    if clinic == "skerrandine":
        return csv_rows(path(clinic), delimiter="\t", quoting=csv.QUOTE_NONE)
    return [row for file in sorted(path(clinic).parent.glob("*.csv")) for row in csv_rows(file)]


@cache
def layout(clinic: str) -> dict:
    """clinic.toml."""
    return tomllib.loads((DEMO / "clinics" / clinic / "clinic.toml").read_text("utf-8"))


def number_column(clinic: str) -> str:
    return layout(clinic)["source"][0]["stay"]["case_number"]


def numbers(clinic: str) -> list[str]:
    """Case numbers in the order of the records."""
    return [row[number_column(clinic)] for row in main_rows(clinic)]


@cache
def truth(name: str) -> list[dict]:
    """truth/cases.csv or truth/stays.csv."""
    return csv_rows(DEMO / "truth" / f"{name}.csv")


@cache
def planted(name: str) -> dict:
    """truth/effects.toml, sites.toml or dirt.toml."""
    return tomllib.loads((DEMO / "truth" / f"{name}.toml").read_text("utf-8"))


def slips(kind: str) -> dict[str, list[str]]:
    """Clinic → case numbers struck by one kind of slip."""
    return {slip["clinic"]: slip["case_numbers"] for slip in planted("dirt")["slip"] if slip["kind"] == kind}


def child_rows(clinic: str, source: dict, block: dict) -> list[dict]:
    """The records that a block of clinic.toml reads: rows, or the objects of a nested list that it takes."""
    if source.get("sheet") in ("Procedures", "X-rays"):
        return sheet_rows(source["sheet"], source["title_rows"])
    rows = main_rows(clinic)
    if "each" in block:
        rows = [item for row in rows for item in row[block["each"]]]
    where = block.get("where", {})
    return [row for row in rows if all(row.get(key) in values for key, values in where.items())]


def words(clinic: str) -> set[tuple[str, str]]:
    """Every (field, cell) of the exports that clinic.toml names by a plain column, legend applied."""
    found = set()
    legend = layout(clinic).get("legend", {})
    for source in layout(clinic)["source"]:
        children = [
            block for record in ("gear_item", "procedure", "finding") for block in source.get(record, [])
        ]
        for block in [*([source["stay"]] if "stay" in source else []), *children]:
            rows = child_rows(clinic, source, block)
            plain = {
                field: column
                for field, column in block.items()
                if isinstance(column, str) and field != "each"
            }
            for field, column in plain.items():
                cells = {str(row[column]) for row in rows if row.get(column) not in (None, "")}
                found |= {(field, legend.get(field, {}).get(cell, cell)) for cell in cells}
    return found


def folded(word):
    """A word as the tool compares it: case, accents and blanks do not count."""
    plain = "".join(c for c in unicodedata.normalize("NFD", word) if not unicodedata.combining(c))
    return re.sub(r"\s+", " ", plain.casefold()).strip()


@cache
def shared_words(vocabulary):
    """Folded code, label or synonym → code."""
    file = DEMO.parent / "sql" / "codes" / f"{vocabulary}.csv"
    rows = csv_rows(file) if vocabulary != "clinic" else []
    return {folded(word): row["code"] for row in rows
            for word in (row["code"], row["label"], *row["synonyms"].split("|")) if word}  # fmt: skip


def vocabularies():
    """Field → vocabulary, of all fields that hold words."""
    rows = csv_rows(DEMO.parent / "sql" / "codes" / "fields.csv")
    return {row["field"]: row["vocabulary"] for row in rows if row["kind"] == "term"}
