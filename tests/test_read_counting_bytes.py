"""A sheet counted by its bytes is counted as by the parser, or not at all."""

from io import BytesIO
from zipfile import ZipFile

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from read_layouts import workbook
from unsnag.read import counting_bytes, counting_workbook
from unsnag.read.counting_bytes import Unusual

NAMESPACES = 'xmlns="urn:main" xmlns:x="urn:main"'
DECLARED = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\r\n'
# Blank or not, hidden or not: what a cell's text may be in a file that a spreadsheet program opens.
TEXTS = ["", " ", "\u00a0", "0", "1", "12", "é", "\u00a0a", "a &lt;row r=&quot;9&quot;&gt;", "&#32;", "&#65;", "1&#48;",
         "&amp;", "note:row", "!?", "<![CDATA[a]]>", "<!-- <v>a</v> -->", "<?hint a?>", "> a"]  # fmt: skip
KINDS = ["", ' t="s"', ' t="e"', ' t="n"', ' t="str"', ' t="inlineStr"', ' s="1"', " t='e'", ' r="B2" t="e"']
CELLS = ["<c{kind}/>", "<c{kind}><v>{text}</v></c>", "<c{kind}><is><t>{text}</t></is></c>", "<c{kind}><v/></c>",
         "<c{kind}><f>A1&gt;2</f><v>{text}</v></c>", "<c{kind}><is><r><t> </t></r><r><t>{text}</t></r></is></c>",
         '<c{kind}>\n <is> <t xml:space="preserve">{text}</t> </is></c>', "<x:c{kind}><x:v>{text}</x:v></x:c>",
         "<c{kind}><is><rPh><t>a</t></rPh><t>{text}</t></is></c>", "<!-- <c><v>1</v></c> -->"]  # fmt: skip
ROWS = ["<row>{cells}</row>", '<row r="{number}">{cells}</row>', '<row spans="1:2" r="{number}" ht="1">{cells}</row >',
        "<row r='{number}'>{cells}</row>", "<row/>", '<row r="{number}"/>', "<x:row>{cells}</x:row>",
        '<row x:r=">" >{cells}</row>', '<row r = "{number}">{cells}</row>']  # fmt: skip


def cell(*forms) -> st.SearchStrategy:
    return st.builds(lambda form, kind, text: form.format(kind=kind, text=text), *map(st.sampled_from, forms))


def row(forms: list[str], cells: st.SearchStrategy) -> st.SearchStrategy:
    return st.builds(
        lambda form, cells, number: form.format(cells="".join(cells), number=number),
        st.sampled_from(forms),
        st.lists(cells, max_size=3),
        st.integers(1, 20),
    )


usual = row(ROWS[:3], cell(CELLS[:3], KINDS[:7], TEXTS[:9]))
unusual = row(ROWS, cell(CELLS, KINDS, TEXTS))


def archive(text: str) -> ZipFile:
    stream = BytesIO()
    with ZipFile(stream, "w") as made:
        made.writestr("part.xml", text)
    return ZipFile(stream)


def sheet(rows: list[str], declared: str = DECLARED) -> str:
    after = '<rowBreaks count="1"><brk id="1"/></rowBreaks>'
    return f"{declared}<worksheet {NAMESPACES}><sheetData>{''.join(rows)}</sheetData>{after}</worksheet>"


def by_bytes(text: str) -> list[int]:
    return list(counting_bytes.filled_rows(archive(text), "part.xml", frozenset({"0"})))


def by_parser(text: str) -> list[int]:
    return list(counting_workbook._filled_rows(archive(text), "part.xml", frozenset({"0"})))


@given(st.lists(usual | usual | unusual, max_size=4))
@settings(max_examples=400, deadline=None)
def test_rows_are_counted_as_the_parser_counts_them_or_not_at_all(rows):
    try:
        counted = by_bytes(sheet(rows))
    except Unusual:
        return
    assert counted == by_parser(sheet(rows))


filled = st.just("<c><v>1</v></c>") | st.just('<c t="inlineStr"><is><t>a: b! &lt;c&gt;</t></is></c>')


@given(st.lists(row(ROWS[:3], filled), max_size=5), st.integers(40, 300))
@settings(max_examples=100, deadline=None)
def test_plain_rows_are_never_left_to_the_parser_wherever_chunks_end(rows, chunk):
    before, counting_bytes.CHUNK = counting_bytes.CHUNK, chunk
    try:
        assert by_bytes(sheet(rows)) == by_parser(sheet(rows))
    finally:
        counting_bytes.CHUNK = before


def test_rows_by_hand():
    rows = ['<row r="1"><c t="s"><v>0</v></c><c t="e"><v>#N/A</v></c><c><v>2</v></c></row>', '<row r="2"/>',
            '<row r="4"><c s="1"/></row>', '<row><c t="s"><v>1</v></c></row>']  # fmt: skip
    assert by_bytes(sheet(rows)) == [1, 5]


@pytest.mark.parametrize(
    ("rows", "declared"),
    [
        (['<row><c t="s"><v>0</v></c></row>'], DECLARED),
        (['<row><c t="e"><v>#N/A</v></c></row>'], DECLARED),
        (["<row><c><v>&#32;</v></c></row>"], DECLARED),
        (["<row><c><v>1</v></c></row><!-- <row/> -->"], DECLARED),
        (["<x:row><c><v>1</v></c></x:row>"], DECLARED),
        (["<row r='7'><c><v>1</v></c></row>"], DECLARED),
        (["<row><c><v>1</v></c>"], DECLARED),
        (["<row><c><v>1</v></c></row>"], DECLARED.replace("UTF-8", "UTF-16")),
        (["<row><c><v>1</v></c></row>"], DECLARED + "<!DOCTYPE worksheet>"),
    ],
)
def test_what_bytes_cannot_tell_is_left_to_the_parser(rows, declared):
    with pytest.raises(Unusual):
        by_bytes(sheet(rows, declared))


def test_an_endless_stretch_without_a_row_is_left_to_the_parser(monkeypatch):
    monkeypatch.setattr(counting_bytes, "LONGEST_PIECE", 1000)
    monkeypatch.setattr(counting_bytes, "CHUNK", 100)
    with pytest.raises(Unusual):
        by_bytes(sheet(["<row><c><v>" + "1" * 2000 + "</v></c></row>"]))


STRINGS = ["<t>{text}</t>", '<t xml:space="preserve"> {text}</t>', "<r><rPr><b/></rPr><t>{text}</t></r>", "<t/>",
           "<rPh><t>a</t></rPh><t>{text}</t>", "<x:t>{text}</x:t>"]  # fmt: skip
shared = st.builds(
    lambda form, text: f"<si>{form.format(text=text)}</si>", *map(st.sampled_from, (STRINGS, TEXTS))
)


@given(st.lists(shared, max_size=4))
@settings(max_examples=200, deadline=None)
def test_shared_strings_are_all_visible_or_left_to_the_parser(strings):
    part = f"{DECLARED}<sst {NAMESPACES}>{''.join(strings)}</sst>"
    try:
        blank = counting_bytes.blank_strings(archive(part), "part.xml")
    except Unusual:
        return
    items = counting_workbook._elements(archive(part), "part.xml", "si")
    assert blank == frozenset() and all(counting_workbook._text(item).strip() for item in items)


def test_workbooks_of_openpyxl_are_counted_by_their_bytes(tmp_path, monkeypatch):
    monkeypatch.setattr(counting_workbook, "_filled_rows", None)
    monkeypatch.setattr(counting_workbook, "_parsed_blank_strings", None)
    (tmp_path / "a.xlsx").write_bytes(workbook([["title"], ["id", "a"], ["a", 1], [], [None, "b"], ["c"]]))
    assert counting_workbook.count_workbook(tmp_path / "a.xlsx", None, 1) == 1 + 3
