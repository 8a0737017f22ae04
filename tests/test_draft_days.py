"""Day first or month first, and which decimal sign: decided by what only one reading fits, asked where both do."""

import duckdb
import pytest
from unsnag import models
from unsnag.draft import days, decimals, headings, sniff
from unsnag.draft.columns import columns_of


@pytest.fixture(scope="module")
def connection():
    with duckdb.connect() as connection:
        models.load_codes(connection)
        yield connection


def column(connection, name, cells):
    connection.execute("create or replace table looked (_file integer, _row integer, value varchar)")
    rows = [(1, number, cell) for number, cell in enumerate(cells)]
    connection.executemany("insert into looked values (?, ?, ?)", rows)
    connection.execute(f'alter table looked rename column value to "{name}"')
    return columns_of(connection, "looked")[0]


@pytest.mark.parametrize(
    ("cells", "order"),
    [
        (["03/04/2021", "13/04/2021"], "dmy"),
        (["03/04/2021", "04/13/2021"], "mdy"),
        (["03/04/2021", "05/06/2021"], None),  # both fit: ask
        (["03/03/2021", "04/04/2021"], ""),  # the same day in both
        (["2021-03-04", "2021-04-13"], ""),
        (["13 Apr 2021", "3 May 2021"], ""),
        (["13/04/2021", "04/13/2021"], None),  # neither fits all: ask
        (["13/04/2021"] * 20 + ["04/13/2021"], "dmy"),  # one slip among many
        (["13/04/2021"] * 19 + ["04/13/2021"], None),
        (["3.4.21", "25.4.21"], "dmy"),
    ],
)
def test_the_order_of_days(connection, cells, order):
    assert days.decide([column(connection, "Date in", cells)]).order == order


@pytest.mark.parametrize(
    ("cells", "order"),
    [(["1/4", "1/16"], "mdy"), (["4/1", "16/1"], "dmy"), (["1/4", "2/5"], None), (["Jan 4", "3 Feb"], "")],
)
def test_the_order_of_days_without_a_year(connection, cells, order):
    assert days.decide([column(connection, "Date in", cells)]).order == order


def test_why_names_the_column_and_a_day(connection):
    said = days.decide([column(connection, "Date in", ["03/04/2021", "13/04/2021"])]).why
    assert said == "1 days can only be day first, such as 13/04/2021 in 'Date in'"


@pytest.mark.parametrize(("heading", "is_dates"), [("Treated on", True), ("Score", False)])
def test_days_without_a_year_are_days_only_under_a_heading_of_days(connection, heading, is_dates):
    assert days.is_dates(column(connection, heading, ["3/5", "4/5", "2/5"])) == is_dates


@pytest.mark.parametrize(
    ("cells", "sign"),
    [
        (["1.5", "2.25"], "."),
        (["1,5", "2,25"], ","),
        (["1,250", "2,500"], None),  # thousands or decimals: ask
        (["1,250.5", "300"], "."),
        (["1.250,5", "300"], ","),
        (["1.5", "2,5"], None),
        (["150", "300"], ""),
        (["-36.5644"], "."),
    ],
)
def test_the_decimal_sign(connection, cells, sign):
    assert decimals.decide([column(connection, "Weight", cells)]).sign == sign


@pytest.mark.parametrize(
    ("rows", "place"),
    [
        ([["no", "in"], ["A1", "3/4/21"]], 0),
        ([["Seal Bay Clinic", ""], ["printed", "3/4/21"], ["no", "in"], ["A1", "3/4/21"]], 2),
        ([["Report"], [], ["no", "in", "kind"], ["A1", "3/4/21", "gull"], ["A2", "", ""]], 2),
        ([["1", "2"], ["3", "4"]], None),
        ([["only one column"], ["a"]], None),
    ],
)
def test_the_header_row(rows, place):
    assert sniff.header_place(rows) == place


@pytest.mark.parametrize(
    ("heading", "unit"), [("Peso (kg)", "kg"), ("Weight g", "g"), ("Wt", ""), ("Mass [lbs]", "lb")]
)
def test_the_unit_in_a_heading(heading, unit):
    assert headings.unit_of(heading) == unit


@pytest.mark.parametrize(
    ("heading", "field", "fits"),
    [
        ("Date In", "admission_date", True),
        ("Fecha de ingreso:", "admission_date", True),
        ("Especie", "species", True),
        ("Spiecies", "species", True),
        ("Especie", "sex", False),
        ("Line hanging", "line_trailing", True),
    ],
)
def test_headings_speak_for_fields_in_two_languages(heading, field, fits):
    assert (headings.likeness(heading, "stay", field) > 0.65) == fits


@pytest.mark.parametrize(
    "heading", ["Finder", "Rescuer mobile", "Aviso: correo", "TEL", "Domicilio", "brought in by"]
)
def test_headings_of_personal_data(heading):
    assert headings.private_likeness(heading) >= 0.8


@pytest.mark.parametrize("heading", ["Species", "Vet notes", "Release place", "Cause", "Weight"])
def test_headings_that_are_no_personal_data(heading):
    assert headings.private_likeness(heading) < 0.8
