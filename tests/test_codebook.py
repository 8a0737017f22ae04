"""The codebook is complete against the database: every table, column and code has its words."""

import csv
import html
import re

import duckdb
import pytest
from test_codes import DARWIN_CORE
from unsnag.share import codebook
from unsnag.share.release import HEADING

# In the reading of Darwin Core of external_checks.md 7.1, beside the terms that fields.csv uses.
ALSO_DARWIN_CORE = {"dataGeneralizations", "informationWithheld"}


@pytest.fixture(scope="module")
def book(demo):
    return codebook.read_codebook(demo.folder / "out" / "public.duckdb")


@pytest.fixture(scope="module")
def rows(demo):
    with (demo.folder / "out" / "codebook.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def test_every_table_and_column_of_the_database_is_in_it_with_words(demo, rows):
    there = set(
        demo.public(
            "select table_name, column_name from information_schema.columns where table_schema = 'public'"
        )
    )
    told = {(row["table"], row["column"]): row["meaning"] for row in rows if row["kind"] == "column"}
    assert set(told) == there and all(told.values())
    tables = {row["table"]: row["meaning"] for row in rows if row["kind"] == "table"}
    assert set(tables) == {table for table, _ in there} and all(tables.values())


def test_every_code_that_stands_in_a_coded_column_is_in_it(demo, book):
    words = {word.code for word in book.words_for_no_code}
    seen = 0
    for table in book.tables:
        for column in filter(lambda each: each.vocabulary, table.columns):
            known = {code.code for code in book.codes[column.vocabulary]} | words
            there = demo.public(
                f'select distinct "{column.name}" from public."{table.name}" where "{column.name}" is not null'
            )
            assert {code for (code,) in there} <= known, (table.name, column.name)
            seen += len(there)
    assert seen > 100


def test_every_coded_column_of_the_cases_has_its_list(book):
    without = [
        each.name
        for each in book.table("cases").columns
        if each.name.endswith("_code") and not each.vocabulary
    ]
    assert without == []


def test_every_code_has_a_label_and_a_definition(rows):
    codes = [row for row in rows if row["kind"] == "code"]
    assert len(codes) > 200
    assert [row["code"] for row in codes if not row["label"] or not row["meaning"]] == []


def test_darwin_core_terms_are_terms_of_darwin_core(rows):
    iris = {row["darwin_core"] for row in rows} - {""}
    terms = {iri.removeprefix("http://rs.tdwg.org/dwc/terms/") for iri in iris}
    assert terms <= DARWIN_CORE | ALSO_DARWIN_CORE and {"decimalLatitude", "sex", "lifeStage"} <= terms


def test_the_page_says_all_that_the_sheet_says(demo, rows):
    page = (demo.folder / "out" / "codebook.html").read_text(encoding="utf-8")
    text = re.sub(r"\s+", " ", re.sub("<[^>]+>", " ", page))
    assert set(rows[0]) == set(HEADING)
    for row in rows:
        name = row["code"] or row["column"] or row["table"]
        assert f" {name} " in text, name
    linked = set(re.findall('href="#([^"]+)"', page))
    assert linked <= set(re.findall('id="([^"]+)"', page))


def test_codes_are_printed_as_they_are_asked_for(demo):
    """SQL tells 'in_care' and 'In_care' apart: a column's words that begin with a code keep its small letter."""
    page = (demo.folder / "out" / "codebook.html").read_text(encoding="utf-8")
    begins = "select column_name, comment from duckdb_columns() where schema_name = 'public' and comment ~ '^[a-z]+_'"
    told = demo.public(begins)
    assert told and [words for _, words in told if f"<dd>{html.escape(words, quote=False)}" not in page] == []


def test_what_two_encodings_of_silence_mean_is_said(demo):
    page = (demo.folder / "out" / "codebook.html").read_text(encoding="utf-8")
    silent = "select count(*) from public.cases where severity_code is null and is_tackle"
    named = (
        "select count(*) from public.release_rates where grouping = 'severity' and group_code = 'not_stated'"
    )
    assert demo.public(silent) > [(0,)] and demo.public(named) > [(0,)]
    assert "empty in <code>cases</code>" in page and "<code>not_stated</code> in the tables of rates" in page


def test_the_days_of_a_pending_case_are_less_than_its_time_in_care_as_the_codebook_says(demo):
    page = (demo.folder / "out" / "codebook.html").read_text(encoding="utf-8")
    longest = "select max(stay_days) from {} where outcome_class = 'pending'"
    assert demo.public(longest.format("public.cases")) < demo.rows(longest.format("mart.cases"))
    assert "are not its time in care" in page


def test_no_code_is_explained_by_a_file_of_the_program(rows):
    assert [row["meaning"] for row in rows if row["kind"] == "code" and ".csv" in row["meaning"]] == []


def test_every_table_is_also_a_parquet_file_in_the_same_order(demo, book):
    folder = demo.folder / "out" / "parquet"
    assert {path.stem for path in folder.iterdir()} == {table.name for table in book.tables}
    for table in book.tables:
        stored = duckdb.sql(f"from '{folder / table.name}.parquet'").fetchall()
        assert repr(stored) == repr(demo.public(f'from public."{table.name}" order by rowid')), table.name


def test_a_column_without_a_list_of_codes_says_so():
    assert codebook.vocabulary_of("stay_days") == "" and codebook.darwin_core_of("stay_days") == ""
    assert codebook.vocabulary_of("lead_code") == "yes_no"
    assert codebook.vocabulary_of("outcome_class") == "outcome_class"
    assert codebook.vocabulary_of("finding") == "" and codebook.vocabulary_of("finding_code") == "finding"
