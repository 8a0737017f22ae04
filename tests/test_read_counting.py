"""The independent reader, counted by hand and against Python's csv module, which it does not use."""

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from read_layouts import workbook
from unsnag.read import counting_workbook
from unsnag.read.counting import count_delimited, count_lines

BY_HAND = {
    "": -1,
    "id,a\n": 0,
    "id,a\n1,x": 1,
    'id,a\n1,"x\ny"\n2,z\n': 2,
    'id,a\n1,"x\n\n,y""\n"\n\n2,z\n': 2,
    "id,a\n,\n \t,\n1,\n": 1,
    'id,a\n"",""\n"\n",""\n""" ""\n': 1,
    'id,a\n1,"a" b\n2,x\n': 2,
    'id,a\n1,"a\nb" c\n2,x\n': 2,
    'id,a\n1,6" x\n2,5" y\n': 2,
    'id,a\n1,"never closed\n2,x\n': 1,
}


def count(text: str, folder: Path, **settings) -> int:
    path = folder / "counted.csv"
    path.write_text(text, encoding="utf-8", newline="")
    return count_delimited(path, "utf-8", **({"delimiter": ",", "quote": '"', "title_rows": 0} | settings))


@pytest.mark.parametrize("text", BY_HAND)
def test_records_of_delimited_text_by_hand(text, tmp_path):
    assert count(text, tmp_path) == BY_HAND[text]


def test_title_lines_are_counted_whatever_stands_in_them(tmp_path):
    assert count('title "\n\nid\n1\n2\n', tmp_path, title_rows=2) == 4


def test_without_a_quote_mark_every_line_is_a_record(tmp_path):
    assert count('id\n"1\n2"\n', tmp_path, quote="") == 2


cells = st.text(alphabet='ab ",;\n\r\t', max_size=6)


@given(
    st.lists(st.lists(cells, min_size=1, max_size=4), max_size=6),
    st.sampled_from([csv.QUOTE_MINIMAL, csv.QUOTE_ALL]),
)
@settings(max_examples=200, deadline=None)
def test_what_the_csv_module_writes_is_counted_record_by_record(tmp_path_factory, rows, quoting):
    stream = io.StringIO()
    csv.writer(stream, quoting=quoting).writerows([["header"], *rows])
    filled = sum(any(cell.strip() for cell in row) for row in rows)
    assert count(stream.getvalue(), tmp_path_factory.getbasetemp()) == filled


@given(st.text(alphabet='a ",\n\r', max_size=40))
@settings(max_examples=300, deadline=None)
def test_broken_records_are_counted_as_the_strict_csv_reader_meets_them(tmp_path_factory, text):
    expected = _records_of_csv_module(text)
    if expected is not None:
        assert count("header\n" + text, tmp_path_factory.getbasetemp()) == expected


def _records_of_csv_module(text: str) -> int | None:
    """A broken record counts once; a text that ends inside a quoted cell has no number: such a file is refused."""
    reader, records = csv.reader(io.StringIO(text, newline=""), strict=True), 0
    while True:
        try:
            records += any(cell.strip() for cell in next(reader))
        except csv.Error as error:
            if "end of data" in str(error):
                return None
            records += 1
        except StopIteration:
            return records


def test_lines_of_json_by_hand(tmp_path):
    (tmp_path / "a.jsonl").write_text('{"a": 1}\n\n  \n{"a": 2}', encoding="utf-8")
    assert count_lines(tmp_path / "a.jsonl", "utf-8") == 2


def test_rows_of_a_workbook_by_hand(tmp_path):
    rows = [
        ["title"],
        ["id", "a"],
        [1, None],
        [None, None],
        ["", " "],
        [None, False],
        [0, ""],
        ["=1+1"],
        ["x"],
    ]
    (tmp_path / "a.xlsx").write_bytes(workbook(rows, other=["Legend"]))
    # A row each for 1, False, 0 and "x", and the title row; a formula that was never worked out shows nothing.
    assert counting_workbook.count_workbook(tmp_path / "a.xlsx", "Patients", 1) == 5


def test_shared_strings_of_blanks_are_no_values(tmp_path):
    """Excel itself keeps its texts in one list; openpyxl writes them so too, unless it streams."""
    assert counting_workbook._blank_strings(
        _Archive("<sst><si><t> </t></si><si><r><t>a</t></r></si></sst>")
    ) == {"0"}


class _Archive:
    def __init__(self, strings: str) -> None:
        self.strings = strings

    def namelist(self) -> list[str]:
        return [counting_workbook.SHARED_STRINGS]

    def open(self, member: str) -> io.BytesIO:
        return io.BytesIO(self.strings.encode())
