"""Broken input: one clear sentence each, with the file and what to do."""

import json
import os
from datetime import date
from io import BytesIO
from zipfile import ZIP_DEFLATED, ZipFile

import duckdb
import pytest
from read_layouts import Clinic, workbook
from unsnag.errors import Problem, Problems, UnsnagError
from unsnag.read import read_source
from unsnag.read import workbook as workbook_module


@pytest.fixture
def clinic(tmp_path):
    return Clinic(tmp_path)


def problem_of(clinic: Clinic, **settings) -> Problem:
    with pytest.raises(UnsnagError) as caught:
        clinic.read(**settings)
    assert caught.value.who and caught.value.remedy
    assert len(caught.value.what) < 200
    return caught.value


TEXT_CASES = {
    "empty": (b"", {}, "the file is empty"),
    "blank": (b"\n \n", {}, "no header row"),
    "only titles": (b"title\n", {"title_rows": 3}, "no header row below 3 title rows"),
    "wrong delimiter": (
        b"id;Finder;b\n1;2;3\n",
        {"private": ("Finder",), "only": {"id": ("1",)}},
        "has one column",
    ),
    "no named column": (b"a,b\n1,2\n", {"plain_columns": frozenset({"id"})}, "none of the columns"),
    "missing column": (b"a,b\n1,2\n", {"only": {"kind": ("x",)}, "private": ("a",)}, "no column 'kind'"),
    "binary": (bytes(range(256)), {}, "zero bytes"),
    "a workbook": (b"PK\x03\x04....", {}, "it is a workbook"),
    "a pdf": (b"%PDF-1.7", {}, "it is a PDF document"),
    "not windows-1252 either": (b"id\n1\n\x81\n", {}, "not windows-1252"),
    "not as stated": (b"id\ncaf\xe9\n", {"encoding": "utf-8"}, "not utf-8"),
    "no such encoding": (b"id\n", {"encoding": "klingon"}, "no text encoding 'klingon'"),
    "no text encoding": (b"id\n", {"encoding": "base64"}, "no text encoding 'base64'"),
    "cut in a quoted cell": (b'id,a\n1,x\n2,"y\nz', {}, "never closed"),
    "cut utf-16": ("id\n1".encode("utf-16")[:-1], {}, "not utf-16"),
    "not json lines": (b"[\n1,\n2\n]\n", {"format": "json_lines"}, "no line holds a JSON object"),
    "cut json": (b'{"a": 1}\n{"a": ', {"format": "json_lines"}, "cut short"),
    "no parquet": (b"PAR1 and nothing else", {"format": "parquet"}, "not readable Parquet"),
    "no workbook": (b"id,a\n1,2\n", {"format": "workbook"}, "not a readable workbook"),
    "empty workbook": (b"", {"format": "workbook"}, "it is empty"),
    "old workbook": (b"\xd0\xcf\x11\xe0....", {"format": "workbook"}, "old or password-protected"),
}


@pytest.mark.parametrize("case", TEXT_CASES)
def test_a_broken_file_is_one_sentence_with_file_and_remedy(clinic, case):
    content, settings, what = TEXT_CASES[case]
    clinic.put("a.csv", content)
    problem = problem_of(clinic, **settings)
    assert what in problem.what
    assert "reef" in problem.who


def test_the_wrong_delimiter_is_answered_with_the_likely_one(clinic):
    clinic.put("a.csv", "id\tFinder\tb\n1\t2\t3\n")
    assert 'delimiter = "\\t" is likely' in problem_of(clinic, private=("Finder", "b")).remedy


@pytest.mark.parametrize(
    ("content", "line"), [(b"id\n1\nx\xe9\n", 3), (b"id\n" + b"1\n" * 5000 + b"\xff\n", 5002)]
)
def test_the_line_that_cannot_be_decoded_is_named(clinic, content, line):
    clinic.put("a.csv", content)
    assert problem_of(clinic, encoding="utf-8").who == f"clinics/reef/exports/a.csv, line {line}"


def test_the_line_where_a_quote_opens_is_named(clinic):
    clinic.put("a.csv", 'title\nid,a\n1,"x\ny"\n2,"open\n3,\n')
    assert problem_of(clinic, title_rows=1).who.endswith("a.csv, line 5")


def test_a_pattern_without_a_file_is_a_problem(clinic):
    assert "no file matches files = 'exports/*.txt'" in problem_of(clinic, files="exports/*.txt").what


def test_as_of_a_day_later_exports_are_left_alone(clinic):
    clinic.put("2024-07-05.csv", "id\n1\n")
    clinic.put("2024-10-05.csv", "id\n1\n2\n")
    dated = {"export_date_in_name": "%Y-%m-%d"}
    assert clinic.read(until=date(2024, 9, 30), **dated) == [{"id": "1"}]


def test_as_of_a_day_before_all_exports_the_table_is_empty(clinic):
    clinic.put("2024-07-05.csv", "id\n1\n")
    assert clinic.read(export_date_in_name="%Y-%m-%d", until=date(2024, 1, 1)) == []


def test_an_absolute_pattern_is_a_problem(clinic):
    assert "cannot be used" in problem_of(clinic, files="/exports/*").what


def test_a_name_without_its_date_is_a_problem(clinic):
    clinic.put("intake_2024-13-45.csv", "id\n1\n")
    assert "no date like %Y-%m-%d" in problem_of(clinic, export_date_in_name="%Y-%m-%d").what


def test_a_file_that_may_not_be_opened_is_a_problem(clinic, monkeypatch):
    clinic.put("a.csv", "id\n1\n")

    def refuse(path):
        raise PermissionError(13, os.strerror(13))

    monkeypatch.setattr("unsnag.read.files.survey", refuse)
    assert "Permission denied" in problem_of(clinic).what


def test_the_problems_of_all_files_are_gathered_and_nothing_is_loaded(clinic):
    clinic.put("a.csv", "")
    clinic.put("b.csv", "id\n1\n")
    clinic.put("c.csv", "\n")
    problems = problem_of_several(clinic)
    assert [problem.who[-5:] for problem in problems] == ["a.csv", "c.csv"]
    assert clinic.connection.execute("select count(*) from information_schema.tables").fetchone() == (0,)


def problem_of_several(clinic: Clinic) -> tuple[UnsnagError, ...]:
    with pytest.raises(Problems) as caught:
        read_source(clinic.connection, clinic.layout(), 1)
    return caught.value.problems


def test_ten_megabytes_in_one_cell_are_read(clinic):
    clinic.put("a.csv", f'id,note\n1,"{"word, " * 1_700_000}"\n2,x\n')
    rows = clinic.read()
    assert (len(rows[0]["note"]), rows[1]) == (6 * 1_700_000, {"id": "2", "note": "x"})


def test_a_cell_over_the_limit_is_a_problem(clinic, monkeypatch):
    monkeypatch.setattr("unsnag.read.delimited.CELL_LIMIT", 1000)
    clinic.put("a.csv", "id,note\n1," + "x" * 1001 + "\n")
    assert "longer than 1,000 characters" in problem_of(clinic).what


def test_a_truncated_workbook_is_a_problem(clinic):
    content = workbook([["id"], [1]])
    clinic.put("a.xlsx", content[: len(content) // 2])
    assert "damaged or cut short" in problem_of(clinic, format="workbook").what


def test_a_truncated_parquet_file_is_a_problem(clinic):
    path = clinic.folder / "exports" / "a.parquet"
    duckdb.sql(f"copy (select 1 as id) to '{path}' (format parquet)")
    path.write_bytes(path.read_bytes()[:-20])
    assert "not readable Parquet" in problem_of(clinic, format="parquet").what


def swollen(content: bytes, millions: int) -> bytes:
    """The workbook with a part that unpacks to so many million zero bytes."""
    stream = BytesIO(content)
    with ZipFile(stream, "a", ZIP_DEFLATED) as archive:
        archive.writestr("xl/media/image1.png", b"\0" * (millions * 1_000_000))
    return stream.getvalue()


def test_a_zip_bomb_is_refused_before_it_is_unpacked(clinic, monkeypatch):
    clinic.put("a.xlsx", swollen(workbook([["id"], [1]]), 60))
    monkeypatch.setattr(workbook_module, "CalamineWorkbook", None)
    problem = problem_of(clinic, format="workbook")
    assert "refused as unsafe" in problem.what
    assert "200 times" in problem.remedy


def test_an_archive_over_the_size_limit_is_refused_however_little_it_swells(clinic, monkeypatch):
    monkeypatch.setattr(workbook_module, "UNPACKED_LIMIT", 5000)
    clinic.put("a.xlsx", workbook([["id"], [1]]))
    assert "refused as unsafe" in problem_of(clinic, format="workbook").what


def test_an_archive_that_understates_its_sizes_is_refused(clinic):
    content = swollen(workbook([["id"], [1]]), 1)
    stated = (1_000_000).to_bytes(4, "little")
    assert content.count(stated) == 2
    clinic.put("a.xlsx", content.replace(stated, (1000).to_bytes(4, "little")))
    assert "damaged or cut short" in problem_of(clinic, format="workbook").what


def test_a_small_workbook_that_swells_much_is_still_read(clinic):
    clinic.put("a.xlsx", swollen(workbook([["id"], [1]]), 2))
    assert clinic.read(format="workbook") == [{"id": "1"}]


def test_a_workbook_whose_rows_cannot_be_counted_is_a_problem(clinic, monkeypatch):
    clinic.put("a.xlsx", workbook([["id"], [1]]))
    monkeypatch.setattr("unsnag.read.counting_workbook.WORKBOOK", "xl/missing.xml")
    assert "cannot be counted" in problem_of(clinic, format="workbook").what


def test_a_sheet_without_header_row_is_a_problem(clinic):
    clinic.put("a.xlsx", workbook([["title"]]))
    assert "no header row" in problem_of(clinic, format="workbook", title_rows=1).what


def test_keys_that_break_sql_are_only_names(clinic):
    clinic.put("a.jsonl", json.dumps({'a"; drop table raw.files; --': 1, "": 2, "'": 3}) + "\n")
    clinic.read(format="json_lines")
    assert [*clinic.rows()[0].values()] == [1, 1, "1", "2", "3"]
    assert len(clinic.records) == 1
