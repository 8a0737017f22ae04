"""Tables of the report and the CSV files beside it."""

import csv

import duckdb
import pandas
import pytest
from report_frames import all_tables, write_database
from unsnag.report.tables import Column, Pivot, pivoted, table, write_tables
from unsnag_charts.numbers import FIGURE


def one_column(kind, *sources, **frame):
    return [row[0] for row in table(pandas.DataFrame(frame), [Column("h", kind, sources)], "c").rows]


def test_limits_align_on_their_decimals():
    cells = one_column("interval", "low", "high", low=[5.25, 20.0], high=[9.75, 100.0])
    assert cells == [f"5.2 to {FIGURE * 2}9.8", "20.0 to 100.0"]


def test_missing_number_is_a_dash_and_missing_text_is_empty():
    assert one_column("number", "a", a=[None, 2.0]) == ["–", "2.0"]
    assert one_column("text", "a", a=[None, "note"]) == ["", "note"]


def test_column_of_remarks_goes_where_there_are_none():
    frame = pandas.DataFrame({"name": ["a"], "note": [None]})
    made = table(frame, [Column("Name", "text", ("name",)), Column("Remark", "text", ("note",))], "c")
    assert [column.header for column in made.columns] == ["Name"]


def test_column_that_the_frame_lacks_goes():
    made = table(pandas.DataFrame({"name": ["a"]}), [Column("N", "count", ("animals",))], "c")
    assert made.columns == ()


def test_pivot_keeps_the_order_of_the_frame_and_dashes_the_gaps():
    frame = pandas.DataFrame({"r": ["b", "a", "b"], "c": ["y", "y", "x"], "n": [1, 2, 3]})
    made = pivoted(frame, Pivot("r", "c", "n", "Row"), "c")
    assert [column.header for column in made.columns] == ["Row", "y", "x"]
    assert made.rows == (("b", "1", "3"), ("a", "2", "–"))


@pytest.fixture
def files(tmp_path):
    tables = all_tables()
    texts = ["=1+1", "+61 7", "-5", "@name", "\tx", "\rx", "plain", "a=b", None, ""]
    tables["texts"] = pandas.DataFrame({"text": texts, "number": range(-9, 1)})
    database = write_database(tmp_path / "public.duckdb", tables)
    return {path.stem: path for path in write_tables(database, tmp_path / "out")}


def read(path):
    with path.open(newline="", encoding="utf-8") as lines:
        return list(csv.reader(lines))


def test_every_published_table_has_its_file(files):
    assert sorted(files) == sorted([*all_tables(), "texts"])
    assert all(path.parent.name == "tables" for path in files.values())


def test_file_of_a_table_that_is_gone_goes_too(files, tmp_path):
    stale = tmp_path / "out" / "tables" / "gone.csv"
    stale.write_text("x")
    write_tables(tmp_path / "public.duckdb", tmp_path / "out")
    assert not stale.exists()


def test_text_that_begins_like_a_formula_is_made_harmless(files):
    cells = [row[0] for row in read(files["texts"])[1:]]
    assert cells == ["'=1+1", "'+61 7", "'-5", "'@name", "'\tx", "'\rx", "plain", "a=b", "", ""]


def test_negative_numbers_stay_numbers(files):
    assert [row[1] for row in read(files["texts"])[1:]] == [str(n) for n in range(-9, 1)]


def test_rows_and_order_are_those_of_the_table(files):
    rows = read(files["release_rates"])
    frame = all_tables()["release_rates"]
    assert rows[0] == list(frame.columns)
    assert [row[1] for row in rows[1:]] == list(frame["group_code"])


def test_two_writings_have_the_same_bytes(files, tmp_path):
    before = {name: path.read_bytes() for name, path in files.items()}
    write_tables(tmp_path / "public.duckdb", tmp_path / "out")
    assert before == {name: path.read_bytes() for name, path in files.items()}


def test_file_reads_back_as_the_table(files):
    back = duckdb.read_csv(str(files["shares"])).df()
    assert back["percent"].tolist() == all_tables()["shares"]["percent"].tolist()
