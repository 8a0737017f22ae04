"""No record is lost: what one reader counts is what the other sets aside, refuses, leaves out and stores."""

import csv
import io
import tempfile
from pathlib import Path

import duckdb
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from read_layouts import Clinic, workbook
from unsnag.errors import Problem
from unsnag.read import reading

cell = st.one_of(st.sampled_from(["", " ", "wild", "pet", "Total", '"', "a\nb", "a,b"]), st.text(max_size=5))
table = st.lists(st.lists(cell, min_size=1, max_size=5), max_size=8)
SETTINGS = {"title_rows": 1, "totals": ("total",), "only": {"kind": ("wild", "a,b")}}


def accounted(record) -> int:
    held_back = record.title_rows + record.totals_rows + record.left_out_rows + record.refused_rows
    return held_back + record.raw_rows


def written(rows) -> str:
    stream = io.StringIO()
    csv.writer(stream).writerows([["title"], ["kind", "b", "c"], *rows])
    return stream.getvalue().replace("\0", "")


@given(table)
@settings(max_examples=30, deadline=None)
def test_the_law_holds_for_any_delimited_table(rows):
    with tempfile.TemporaryDirectory() as folder:
        clinic = Clinic(Path(folder))
        clinic.put("a.csv", written(rows))
        clinic.read(encoding="utf-8", **SETTINGS)
    (record,) = clinic.records
    filled = [row for row in rows if any(part.replace("\0", "").strip() for part in row)]
    assert record.records_counted == accounted(record) == 1 + len(filled)
    assert record.refused_rows == len(clinic.refused())
    assert record.raw_rows == len(clinic.rows())


@given(
    st.lists(
        st.lists(st.sampled_from([None, "", " ", "wild", "pet", "Total", 1, 0.5, True]), max_size=3),
        max_size=8,
    )
)
@settings(max_examples=12, deadline=None)
def test_the_law_holds_for_any_workbook(rows):
    with tempfile.TemporaryDirectory() as folder:
        clinic = Clinic(Path(folder))
        clinic.put("a.xlsx", workbook([["title"], ["kind", "b", "c"], *rows]))
        clinic.read(format="workbook", **SETTINGS)
    (record,) = clinic.records
    filled = [row for row in rows if any(str(part).strip() for part in row if part is not None)]
    assert record.records_counted == accounted(record) == 1 + len(filled)


def test_every_kind_of_record_is_counted_by_hand(tmp_path):
    clinic = Clinic(tmp_path)
    clinic.put("a.csv", 'title\nkind,b\nwild,1\npet,2\nwild,3,4\nwild,"5"6\n,\nTotal,4\nwild,7\n')
    clinic.read(**SETTINGS)
    (record,) = clinic.records
    counts = (record.records_counted, record.title_rows, record.totals_rows, record.left_out_rows)
    assert counts == (7 + 0, 1, 1, 1)
    assert (record.refused_rows, record.raw_rows) == (2, 2)


def test_the_books_hold_what_is_returned(tmp_path):
    clinic = Clinic(tmp_path)
    clinic.put("intake_2024-07-05.csv", "id\n1\n")
    clinic.put("intake_2024-10-05.csv", "id\n1\n2\n")
    clinic.read(export_date_in_name="%Y-%m-%d")
    kept = clinic.connection.execute("select * from raw.files order by file_id").fetchall()
    assert kept == [tuple(vars(record).values()) for record in clinic.records]
    assert [str(record.export_date) for record in clinic.records] == ["2024-07-05", "2024-10-05"]


def test_the_books_name_the_bytes(tmp_path):
    """Digest of the three bytes 'abc': FIPS 180-2, appendix B.1."""
    clinic = Clinic(tmp_path)
    clinic.put("a.csv", "abc")
    clinic.read()
    assert clinic.records[0].sha256.startswith("ba7816bf8f01cfea414140de5dae2223")
    assert clinic.records[0].bytes == 3


def test_readers_that_disagree_are_a_problem(tmp_path, monkeypatch):
    clinic = Clinic(tmp_path)
    clinic.put("a.csv", "id\n1\n")
    monkeypatch.setattr(reading, "count_records", lambda layout, path, encoding: 2)
    with pytest.raises(Problem, match="one reader counts 2 records, the other 1"):
        clinic.read()


def test_reading_twice_gives_the_same_rows(tmp_path):
    clinic = Clinic(tmp_path)
    clinic.put("a.csv", "id,b\n" + "".join(f"{n},{n % 7}\n" for n in range(3000)))
    first = clinic.read()
    clinic.connection = duckdb.connect()
    assert clinic.read() == first
    assert [row["_row"] for row in clinic.rows()] == list(range(2, 3002))
