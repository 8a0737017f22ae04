"""Column names and words, and dates in file names."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from read_layouts import Clinic
from unsnag.read.names import RESERVED, column_key, fold, unique_names


@pytest.mark.parametrize(
    "word", ["ANZUELO  único", " anzuelo unico ", "Anzuelo\tÚnico", "anzuelo u\u0301nico"]
)
def test_words_meet_whatever_their_case_accents_and_blanks(word):
    assert fold(word) == "anzuelo unico"


def test_a_name_that_is_taken_by_a_numbered_one_is_numbered_on():
    assert unique_names(["a (2)", "a", "A", "a"]) == ("a (2)", "a", "A (3)", "a (4)")


@given(
    st.lists(st.one_of(st.sampled_from(["", " ", "a", "A", "a (2)", "column 1", "_ROW", "_file"]), st.text()))
)
def test_names_are_unique_as_duckdb_compares_them_and_keep_their_place(cells):
    names = unique_names(cells)
    assert len({column_key(name) for name in names} | set(RESERVED)) == len(cells) + len(RESERVED)
    assert all(column_key(name).startswith(column_key(cell)) for name, cell in zip(names, cells, strict=True))


@pytest.mark.parametrize(
    ("name", "pattern"),
    [
        ("intake 2024-07-05 v2.csv", "%Y-%m-%d"),
        ("20240705.csv", "%Y%m%d"),
        ("reef_05Jul2024_final.csv", "%d%b%Y"),
        ("05.07.24.csv", "%d.%m.%y"),
        ("case 99-99 of 05-07-2024.csv", "%d-%m-%Y"),
    ],
)
def test_the_export_date_is_found_in_the_files_name(tmp_path, name, pattern):
    clinic = Clinic(tmp_path)
    clinic.put(name, "id\n1\n")
    clinic.read(export_date_in_name=pattern)
    assert clinic.records[0].export_date == date(2024, 7, 5)


def test_a_stated_export_date_wins(tmp_path):
    clinic = Clinic(tmp_path)
    clinic.put("2024-07-05.csv", "id\n1\n")
    clinic.read(export_date=date(2024, 8, 1), export_date_in_name="%Y-%m-%d")
    assert clinic.records[0].export_date == date(2024, 8, 1)
