"""Delimited text: encodings, quotes, title rows, totals rows, ragged records."""

import pytest
from read_layouts import Clinic

SEALS = "Número;Especie;Peso\n1;Foca común;12,5\n2;Lobo;\n"


@pytest.fixture
def clinic(tmp_path):
    return Clinic(tmp_path)


@pytest.mark.parametrize(
    ("codec", "stated", "noted"),
    [
        ("utf-8", None, "utf-8"),
        ("utf-8", "UTF-8", "utf-8"),
        ("utf-8-sig", None, "utf-8-sig"),
        ("utf-8-sig", "utf-8", "utf-8-sig"),
        ("utf-16", None, "utf-16"),
        ("utf-16-le", "utf-16-le", "utf-16-le"),
        ("windows-1252", None, "windows-1252"),
        ("latin-1", "latin-1", "latin-1"),
    ],
)
def test_every_encoding_gives_the_same_cells_and_is_noted(clinic, codec, stated, noted):
    clinic.put("a.csv", SEALS.encode(codec))
    rows = clinic.read(delimiter=";", encoding=stated)
    assert rows == [
        {"Número": "1", "Especie": "Foca común", "Peso": "12,5"},
        {"Número": "2", "Especie": "Lobo"},
    ]
    assert clinic.records[0].encoding == noted


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|", "~", ":", "§"])
@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
def test_any_delimiter_and_line_end(clinic, delimiter, line_end):
    clinic.put("a.csv", line_end.join([f"id{delimiter}word", f'1{delimiter}"a{delimiter}""b"""', ""]))
    assert clinic.read(delimiter=delimiter) == [{"id": "1", "word": f'a{delimiter}"b"'}]


def test_line_ends_inside_quotes_are_kept_and_rows_are_counted_as_records(clinic):
    clinic.put("a.csv", 'id,note\n1,"line one\nline two\r\nthree"\n\n2,x\n')
    assert clinic.read() == [{"id": "1", "note": "line one\nline two\r\nthree"}, {"id": "2", "note": "x"}]
    assert [row["_row"] for row in clinic.rows()] == [2, 4]


@pytest.mark.parametrize(
    "text", ["\x1f", "\x02", "\x02n", "a\x02\x1fb\r", "\\n", " lead", "NULL", "'", "#", "=1"]
)
def test_signs_that_the_clean_file_uses_itself_come_back_unchanged(clinic, text):
    clinic.put("a.csv", f'id,note\n1,"{text}"\n')
    assert clinic.read() == [{"id": "1", "note": text}]


def test_another_quote_mark(clinic):
    clinic.put("a.csv", "id,note\n1,'a, \"b'\n")
    assert clinic.read(quote="'") == [{"id": "1", "note": 'a, "b'}]


def test_no_quote_mark_at_all(clinic):
    clinic.put("a.csv", 'id,note\n1,6" hook\n2,"x\n')
    assert clinic.read(quote="") == [{"id": "1", "note": '6" hook'}, {"id": "2", "note": '"x'}]


def test_a_quote_mark_inside_an_unquoted_cell_is_text(clinic):
    clinic.put("a.csv", 'id,note\n1,6" hook\n')
    assert clinic.read() == [{"id": "1", "note": '6" hook'}]


def test_title_rows_are_skipped_and_counted_blank_ones_too(clinic):
    clinic.put("a.csv", 'Reef clinic, "intakes\n\nexported 5 July\nid,word\n1,a\n')
    assert clinic.read(title_rows=3) == [{"id": "1", "word": "a"}]
    assert (clinic.records[0].title_rows, clinic.records[0].records_counted) == (3, 4)
    assert clinic.rows()[0]["_row"] == 5


def test_totals_rows_are_counted_and_not_stored_however_many_cells_they_have(clinic):
    clinic.put("a.csv", "id,word\n1,a\n totál: 1\nSum,1,1,1\n")
    assert clinic.read(totals=("Total", "sum")) == [{"id": "1", "word": "a"}]
    assert (clinic.records[0].totals_rows, clinic.records[0].refused_rows) == (2, 0)


def test_the_row_filter_compares_folded_words_and_counts_what_it_leaves_out(clinic):
    clinic.put("a.csv", "id,Kind\n1,WILD  life\n2,pet\n3,\n4,wild lifé\n")
    rows = clinic.read(only={"kind": ("wild life",)})
    assert [row["id"] for row in rows] == ["1", "4"]
    assert clinic.records[0].left_out_rows == 2


def test_too_many_cells_are_refused_and_never_shifted(clinic):
    clinic.put("a.csv", "id,a,b\n1,x,y,\n2,x,y\n3,x,y,z,w\n")
    assert clinic.read() == [{"id": "2", "a": "x", "b": "y"}]
    reason = "the record has {} cells and the header row has 3"
    assert clinic.refused() == [(2, reason.format(4)), (4, reason.format(5))]


def test_missing_last_cells_are_empty(clinic):
    clinic.put("a.csv", "id,a,b\n1\n2,x\n")
    assert clinic.read() == [{"id": "1"}, {"id": "2", "a": "x"}]


def test_a_short_last_record_without_line_end_is_refused_for_it_may_be_cut(clinic):
    clinic.put("a.csv", "id,a,b\n1,x\n2,x")
    assert clinic.read() == [{"id": "1", "a": "x"}]
    assert [row for row, reason in clinic.refused() if "the file ends inside this record" in reason] == [3]


@pytest.mark.parametrize("last", ["2,x,y", "Total,2"])
def test_a_complete_or_totals_record_needs_no_line_end(clinic, last):
    clinic.put("a.csv", f"id,a,b\n1,x,y\n{last}")
    clinic.read(totals=("Total",))
    assert clinic.refused() == []


def test_a_record_with_a_stray_quote_is_refused_alone(clinic):
    clinic.put("a.csv", 'id,note\n1,"a "big" hook"\n2,"x"\n')
    assert clinic.read() == [{"id": "2", "note": "x"}]
    assert [(row, "not doubled" in reason) for row, reason in clinic.refused()] == [(2, True)]


def test_lines_of_blanks_and_delimiters_are_no_records(clinic):
    clinic.put("a.csv", 'id,a\n , \n,\n"",""\n1,x\n\n')
    assert clinic.read() == [{"id": "1", "a": "x"}]
    assert clinic.records[0].records_counted == 1


def test_columns_are_united_by_name_over_files_in_name_order(clinic):
    clinic.put("b.csv", "ID,New\n2,n\n")
    clinic.put("a.csv", "id,Old\n1,o\n")
    clinic.put(".hidden.csv", "x\n")
    clinic.put("~$lock.csv", "x\n")
    assert clinic.read() == [{"id": "1", "Old": "o"}, {"id": "2", "New": "n"}]
    assert [(row["_file"], row["_row"]) for row in clinic.rows()] == [(1, 2), (2, 2)]
    assert [record.path for record in clinic.records] == [f"clinics/reef/exports/{n}.csv" for n in "ab"]


def test_repeated_reserved_empty_and_broken_header_cells_get_names(clinic):
    clinic.put("a.csv", 'id,Note,note,,_row,"Date\n of care"\n1,a,b,c,d,e\n')
    clinic.read()
    (row,) = clinic.rows()
    assert [*row] == ["_file", "_row", "id", "Note", "note (2)", "column 4", "_row (2)", "Date of care"]
    assert [*row.values()] == [1, 2, "1", "a", "b", "c", "d", "e"]
