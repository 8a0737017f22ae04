"""The list of reporting items: as many as the guidelines have, and each points to a section that is there."""

import csv

import pytest
from unsnag import resources
from unsnag.report import content

ROWS = list(
    csv.DictReader((resources.folder("sql") / "codes" / "reporting_items.csv").open(encoding="utf-8"))
)
TITLES = {part["title"] for part in content.plan(resources.folder("dashboards"))["section"]}
DOCUMENTS = {
    "README of the program", "foreword of the group", "documentation of the program", "protocol.md of each question",
    "Every table: codebook",
}  # fmt: skip


def items(guideline):
    return [row["item"] for row in ROWS if row["guideline"] == guideline]


def test_strobe_vet_has_its_22_items():
    """Sargeant et al. 2016, J Vet Intern Med 30:1887-1895: 22 items."""
    assert items("STROBE-Vet") == [str(number) for number in range(1, 23)]


def test_record_has_its_13_items():
    """Benchimol et al. 2015, PLoS Med 12(10):e1001885: 13 items added to STROBE."""
    assert len(set(items("RECORD"))) == 13


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['guideline']} {row['item']}")
def test_each_item_is_answered_in_a_section_or_document_that_exists(row):
    assert row["asks"] and row["how"]
    assert set(row["answered_in"].split("; ")) <= TITLES | DOCUMENTS
