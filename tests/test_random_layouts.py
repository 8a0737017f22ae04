"""Exports written in random layouts read back as the same cases; damaged ones lose no record in silence."""

import csv
import json
import tempfile
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from io import StringIO
from pathlib import Path

import duckdb
import intake
import openpyxl
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from unsnag.errors import UnsnagError

SLOW = settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
# Every sign is in Windows-1252. No digits and no @, for those might be blanked as contact details; no T, for no cell
# may begin like the totals row.
TEXT = st.text("abcdeé ñüÄ,;|\t\"'=+-\n/.", max_size=12)
DAYS = st.dates(date(2001, 1, 1), date(2023, 12, 31))
ENCODINGS = ("utf-8", "utf-8-sig", "utf-16", "windows-1252", "latin-1")
DAY_FORMS = {
    "dmy": ("%d/%m/%Y", "%d.%m.%Y", "%d-%m-%y", "%d %b %Y"),
    "mdy": ("%m/%d/%Y", "%m-%d-%y", "%b %d, %Y"),
    "ymd": ("%Y-%m-%d", "%Y/%m/%d", "%Y%m%d"),
}
FIELDS = ("case_number", "admission_date", "species", "mass", "notes", "outcome_date")


@dataclass(frozen=True)
class Case:
    """One record as the clinic means it; mass in grams."""

    number: int
    admitted: date
    species: str
    grams: Decimal | None
    notes: str
    ended: date | None

    @property
    def expected(self) -> tuple:
        """What typed rows hold: blanks at both ends and empty cells aside."""
        grams = None if self.grams is None else float(self.grams)
        return (f"A{self.number}", self.admitted, said(self.species), grams, said(self.notes), self.ended)


@dataclass(frozen=True)
class Layout:
    """How one export is written."""

    format: str
    delimiter: str
    encoding: str
    order: str
    day_form: str
    decimal: str
    titles: int
    has_totals: bool
    columns: tuple[str, ...]
    quoting: int
    line_end: str


def said(text: str) -> str | None:
    return text.strip(" \t\r\n\xa0") or None


cases = st.lists(
    st.builds(
        Case,
        st.integers(1, 9999),
        DAYS,
        TEXT,
        st.none() | st.decimals("0.5", 99999, places=2),
        TEXT,
        st.none() | DAYS,
    ),
    min_size=1,
    max_size=6,
    unique_by=lambda case: case.number,
)
layouts = st.sampled_from(sorted(DAY_FORMS)).flatmap(
    lambda order: st.builds(
        Layout,
        st.sampled_from(["delimited", "delimited", "workbook", "json_lines", "parquet"]),
        st.sampled_from([",", ";", "\t", "|"]),
        st.sampled_from(ENCODINGS),
        st.just(order),
        st.sampled_from(DAY_FORMS[order]),
        st.sampled_from([".", ","]),
        st.integers(0, 3),
        st.booleans(),
        st.permutations([*FIELDS, "something else"]).map(tuple),
        st.sampled_from([csv.QUOTE_MINIMAL, csv.QUOTE_ALL]),
        st.sampled_from(["\n", "\r\n"]),
    )
)


def cells(case: Case, layout: Layout) -> dict[str, str]:
    """The cells of a record as text."""
    grams = "" if case.grams is None else f"{case.grams:f}".replace(".", layout.decimal)
    return {
        "case_number": f"A{case.number}",
        "admission_date": case.admitted.strftime(layout.day_form),
        "species": case.species,
        "mass": grams,
        "notes": case.notes,
        "outcome_date": case.ended.strftime(layout.day_form) if case.ended else "",
        "something else": "x",
    }


def delimited(path: Path, layout: Layout, rows: list[list[str]]) -> None:
    out = StringIO(newline="")
    out.write("".join(f"A title {layout.delimiter}{layout.line_end}" for _ in range(layout.titles)))
    writer = csv.writer(
        out, delimiter=layout.delimiter, quoting=layout.quoting, lineterminator=layout.line_end
    )
    writer.writerows([layout.columns, *rows])
    if layout.has_totals:
        writer.writerow(["Total", len(rows)])
    path.write_bytes(out.getvalue().encode(layout.encoding))


def workbook(path: Path, layout: Layout, rows: list[list[str]]) -> None:
    book = openpyxl.Workbook()
    for _ in range(layout.titles):
        book.active.append(["A title"])
    book.active.append(layout.columns)
    for row in rows:
        book.active.append([cell or None for cell in row])
        for cell in book.active[book.active.max_row]:
            cell.data_type = "s" if cell.value else "n"
    if layout.has_totals:
        book.active.append(["Total", len(rows)])
    book.save(path)


def json_lines(path: Path, layout: Layout, rows: list[list[str]]) -> None:
    lines = [json.dumps(dict(zip(layout.columns, row, strict=True)), ensure_ascii=False) for row in rows]
    path.write_bytes("".join(f"{line}\n" for line in lines).encode(layout.encoding))


def parquet(path: Path, layout: Layout, rows: list[list[str]]) -> None:
    with duckdb.connect() as connection:
        columns = ", ".join(f'"{name}" varchar' for name in layout.columns)
        connection.execute(f"create table exported ({columns})")
        connection.executemany(f"insert into exported values ({', '.join('?' * len(layout.columns))})", rows)
        connection.table("exported").write_parquet(str(path))


WRITERS = {"delimited": delimited, "workbook": workbook, "json_lines": json_lines, "parquet": parquet}


def toml(layout: Layout) -> str:
    """The clinic.toml that tells of the layout."""
    has_frame = layout.format in ("delimited", "workbook")
    lines = [
        '[[source]]\nname = "stays"\nfiles = "exports/*"\nexport_date = 2024-01-31',
        f'format = "{layout.format}"\ndate_order = "{layout.order}"\ndecimal = "{layout.decimal}"\nserial_days = false',
        f"delimiter = {json.dumps(layout.delimiter)}" if layout.format == "delimited" else "",
        f'encoding = "{layout.encoding}"' if layout.format in ("delimited", "json_lines") else "",
        f"title_rows = {layout.titles}" if has_frame else "",
        'totals = "Total"' if has_frame and layout.has_totals else "",
        "[source.stay]",
        *(f'{name} = "{name}"' for name in FIELDS),
    ]
    return "\n".join(lines) + "\n"


def written(folder: Path, layout: Layout, found: list[Case]) -> Path:
    """A network with one clinic whose export is written in the layout."""
    intake.clinic(folder, toml(layout), "", file="export")
    rows = [[cells(case, layout)[name] for name in layout.columns] for case in found]
    WRITERS[layout.format](folder / "clinics/one/exports/export", layout, rows)
    return folder


@SLOW
@given(found=cases, layout=layouts)
def test_an_export_in_a_random_layout_reads_back_the_same_cases(found, layout):
    with tempfile.TemporaryDirectory() as name:
        rows = intake.rows(
            written(Path(name), layout, found),
            "select case_number, admission_date, species, mass_g, notes, outcome_date from stage.stay_rows "
            "order by row_number",
        )
    assert rows == [case.expected for case in found]


damages = st.lists(
    st.tuples(
        st.sampled_from(["cut", "drop", "insert", "double"]),
        st.floats(0, 1),
        st.binary(min_size=1, max_size=4),
    ),
    min_size=1,
    max_size=4,
)


def damaged(data: bytes, damage: list[tuple[str, float, bytes]]) -> bytes:
    """The bytes with pieces cut off, dropped, inserted or doubled."""
    for kind, place, more in damage:
        at = int(place * len(data))
        if kind == "cut":
            data = data[:at]
        elif kind == "drop":
            data = data[:at] + data[at + len(more) :]
        elif kind == "insert":
            data = data[:at] + more + data[at:]
        else:
            data = data[:at] + data[max(0, at - 20) :]
    return data


LAWS = """
select
    (select sum(records_counted) from raw.files)
        = (select sum(title_rows + totals_rows + left_out_rows + refused_rows + raw_rows) from raw.files),
    (select sum(raw_rows) from raw.files) = (select count(*) from layout.stays),
    (select count(*) from layout.stays) = (select count(*) from stage.stay_rows),
    (select count(*) from stage.stay_rows)
        = (select count(*) from stage.stays) + (select count(*) from stage.stay_rows where refusal_reason is not null)
"""


@SLOW
@given(found=cases, layout=layouts, damage=damages)
def test_a_damaged_export_is_a_problem_or_keeps_the_law_of_conservation(found, layout, damage):
    with tempfile.TemporaryDirectory() as name:
        folder = written(Path(name), layout, found)
        path = folder / "clinics/one/exports/export"
        path.write_bytes(damaged(path.read_bytes(), damage))
        try:
            with intake.staged(folder) as (connection, problems):
                assert not problems
                assert connection.execute(LAWS).fetchone() == (True, True, True, True)
        except UnsnagError as error:
            # The only clinic: whatever is wrong with it leaves nobody.
            assert "no clinic could be read" in str(error) and (
                "clinics/one/" in str(error) or "one, source stays" in str(error)
            )


def test_damage_can_do_both(tmp_path):
    """The property above would prove nothing if every damage were a problem, or none."""
    layout = Layout(
        "delimited", ",", "utf-8", "ymd", "%Y-%m-%d", ".", 0, False, FIELDS, csv.QUOTE_MINIMAL, "\n"
    )
    found = [Case(number, date(2023, 1, 1), "gull", None, "", None) for number in range(3)]
    path = written(tmp_path, layout, found) / "clinics/one/exports/export"
    good = path.read_bytes()
    path.write_bytes(damaged(good, [("cut", 0.9, b"")]))
    refused = intake.rows(tmp_path, "select sum(refused_rows), count(*) from raw.files")
    path.write_bytes(damaged(good, [("insert", 0.9, b"\xff")]))
    try:
        intake.rows(tmp_path, "select 1")
    except UnsnagError as error:
        assert refused == [(1, 1)] and "the text is not utf-8" in str(error)
    else:
        raise AssertionError("a byte that is no UTF-8 was read")
