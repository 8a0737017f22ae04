"""Workbooks: what stands in a cell comes out as text, whatever Excel made of it."""

from datetime import date, datetime, time, timedelta
from io import BytesIO
from zipfile import ZIP_DEFLATED, ZipFile

import pytest
from read_layouts import Clinic, workbook
from unsnag.errors import Problem
from unsnag.read.records import as_text


@pytest.fixture
def clinic(tmp_path):
    return Clinic(tmp_path)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (datetime(2024, 3, 4), "2024-03-04"),
        (datetime(2024, 3, 4, 10, 30), "2024-03-04T10:30:00"),
        (time(14, 5), "14:05:00"),
        (timedelta(hours=30, minutes=5), "30:05:00"),
        (12, "12"),
        (12.0, "12"),
        (-0.5, "-0.5"),
        (1e-7, "0.0000001"),
        (123456789012, "123456789012"),
        (True, "true"),
        ("'=x", "'=x"),
        ("@home", "@home"),
        ("+61 4", "+61 4"),
        ("4/0", "4/0"),
        ("2 lines\nhere", "2 lines\nhere"),
    ],
)
def test_each_kind_of_cell_becomes_text(clinic, value, text):
    clinic.put("a.xlsx", workbook([["id", "cell"], ["1", value]]))
    assert clinic.read(format="workbook") == [{"id": "1", "cell": text}]


def test_an_equals_sign_typed_as_text_stays_text(clinic):
    def as_typed_text(sheet):
        sheet["B2"].data_type = "s"

    clinic.put("a.xlsx", workbook([["id", "cell"], ["1", "=1+1"]], as_typed_text))
    assert clinic.read(format="workbook") == [{"id": "1", "cell": "=1+1"}]


def test_numbers_are_written_with_the_clinics_decimal_sign(clinic):
    clinic.put("a.xlsx", workbook([["id", "mass"], [1, 2.25], [2, "2,5"], [3, 1000]]))
    assert [row["mass"] for row in clinic.read(format="workbook", decimal=",")] == ["2,25", "2,5", "1000"]


def test_a_formula_gives_the_value_that_was_last_shown(clinic):
    shown = workbook([["id", "sum"], [1, "=1+1"]])
    clinic.put("a.xlsx", _with_cached_value(shown, "<v />", "<v>2</v>"))
    assert clinic.read(format="workbook") == [{"id": "1", "sum": "2"}]


def _with_cached_value(content: bytes, before: str, after: str) -> bytes:
    stream = BytesIO()
    with ZipFile(BytesIO(content)) as old, ZipFile(stream, "w", ZIP_DEFLATED) as new:
        for name in old.namelist():
            text = old.read(name)
            new.writestr(name, text.replace(before.encode(), after.encode()) if "sheet1" in name else text)
    return stream.getvalue()


def test_title_and_blank_rows_are_skipped_and_rows_counted_as_the_sheet_shows_them(clinic):
    rows = [["Reef clinic"], [], ["id", "word"], [], [1, "a"], [None, " "], [2, "b"], ["Total", 2]]
    clinic.put("a.xlsx", workbook(rows))
    assert clinic.read(format="workbook", title_rows=2, totals=("total",)) == [
        {"id": "1", "word": "a"},
        {"id": "2", "word": "b"},
    ]
    assert [row["_row"] for row in clinic.rows()] == [5, 7]
    assert clinic.records[0].records_counted == 5


def test_hidden_rows_count_and_a_merged_range_is_its_first_cell(clinic):
    def hide_and_merge(sheet):
        sheet.row_dimensions[2].hidden = True
        sheet.merge_cells("B2:B3")

    clinic.put("a.xlsx", workbook([["id", "word"], [1, "a"], [2, None]], hide_and_merge))
    assert clinic.read(format="workbook") == [{"id": "1", "word": "a"}, {"id": "2"}]


def test_a_sheet_is_taken_by_its_name(clinic):
    clinic.put("a.xlsx", workbook([["id"], [1]], other=["Legend"]))
    assert clinic.read(format="workbook", sheet="Patients") == [{"id": "1"}]


@pytest.mark.parametrize(("sheet", "what"), [("Patient", "no sheet 'Patient'"), (None, "no sheet is stated")])
def test_an_unknown_sheet_is_answered_with_the_names_there_are(clinic, sheet, what):
    clinic.put("a.xlsx", workbook([["id"], [1]], other=["Legend"]))
    with pytest.raises(Problem, match=what) as caught:
        clinic.read(format="workbook", sheet=sheet)
    assert "Legend, Patients" in caught.value.remedy


def test_cells_beyond_the_header_row_get_a_numbered_column(clinic):
    clinic.put("a.xlsx", workbook([["id"], [1, None, "note"]]))
    assert clinic.read(format="workbook") == [{"id": "1", "column 3": "note"}]


def test_an_undefined_number_is_no_value():
    assert [as_text(float(name)) for name in ("nan", "inf", "-inf")] == ["", "", ""]


def test_a_date_without_clock_and_a_negative_duration():
    assert as_text(date(2024, 3, 4)) == "2024-03-04"
    assert as_text(timedelta(hours=-1)) == "-1:00:00"
