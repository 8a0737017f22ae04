"""Days as clinics write them: without a year, as Excel's number, as another zone's stamp, or open to two readings."""

from datetime import date, datetime

import intake
import openpyxl
import pytest
from intake import STAY, laid


def test_case_numbers_that_restart_each_year(tmp_path):
    toml = intake.SOURCE + (
        '\ndate_order = "dmy"\n[source.stay]\ncase_number = { column = "no", year_of = "in" }\nadmission_date = "in"\n'
    )
    folder = intake.clinic(tmp_path, toml, "no,in\n1,3/1/2022\n2,30/12/2022\n1,2/1/2023\n")
    rows = intake.rows(folder, "select case_number, animal_in_number from stage.stays order by row_number")
    assert rows == [("2022/1", 1), ("2022/2", 1), ("2023/1", 1)]


def test_case_numbers_whose_year_stands_in_the_files_name(tmp_path):
    toml = intake.SOURCE + (
        '\ndate_order = "dmy"\n[source.stay]\ncase_number = { column = "no", year_of = "_file_name" }\n'
        'admission_date = { column = "in", year_of = "_file_name" }\n'
    )
    folder = intake.clinic(tmp_path, toml, "no,in\n1,3/1\n", "book_2022.csv")
    intake.clinic(folder, toml, "no,in\n1,5 Jan\n", "book_2023.csv")
    rows = intake.rows(folder, "select case_number, admission_date from stage.stays order by 1")
    assert rows == [("2022/1", date(2022, 1, 3)), ("2023/1", date(2023, 1, 5))]


def test_a_year_that_cannot_be_read_is_a_question_mark_and_the_row_is_refused_for_its_day(tmp_path):
    toml = intake.SOURCE + (
        '\ndate_order = "dmy"\n[source.stay]\ncase_number = { column = "no", year_of = "in" }\nadmission_date = "in"\n'
    )
    folder = intake.clinic(tmp_path, toml, "no,in\n1,soon\n")
    rows = intake.rows(folder, "select case_number, refusal_reason from stage.stay_rows")
    assert rows == [("?/1", "admission date unreadable")]


def test_days_without_a_year_take_it_from_the_admission(tmp_path):
    block = (
        'found_date = { column = "found", year_of = "in" }\noutcome_date = { column = "out", year_of = "in" }\n'
        '[[source.finding]]\nyear_of = "in"\nfacts = { column = "films", between = ";", form = "{finding_date}: '
        '{finding}" }\n'
    )
    export = "no,in,found,out,films\nA1,3/1/2023,30/12,28 Feb,4/1: in; 2.2.: gone\nA2,28/12/2022,28.12.,2/1/2023,\n"
    folder = laid(tmp_path, block, export)
    assert intake.rows(folder, "select found_date, outcome_date from stage.stays order by case_number") == [
        (date(2022, 12, 30), date(2023, 2, 28)),
        (date(2022, 12, 28), date(2023, 1, 2)),
    ]
    rows = intake.rows(folder, "select finding_date from stage.findings order by item_number")
    assert rows == [(date(2023, 1, 4),), (date(2023, 2, 2),)]


def test_days_take_their_year_from_the_day_of_admission_whatever_its_column_is_called(tmp_path):
    toml = intake.SOURCE + (
        '\ndate_order = "mdy"\n[source.stay]\ncase_number = "no"\n'
        'admission_date = { first_of = ["in", "recd"], year_of = "_file_name" }\n'
        'outcome_date = { column = "out", year_of = "admission_date" }\n'
        '[[source.procedure]]\nyear_of = "admission_date"\nprocedure = "did"\nprocedure_date = "did on"\n'
    )
    folder = intake.clinic(tmp_path, toml, "no,in,out,did,did on\nA,12/28,1/5,watch,12/29\n", "2022.csv")
    intake.clinic(folder, toml, "no,recd,out,did,did on\nB,12/28,1/5,watch,1/2\n", "2023.csv")
    assert intake.rows(
        folder,
        "select case_number, admission_date, outcome_date, procedure_date from stage.stays "
        "inner join stage.procedures using (case_number) order by 1",
    ) == [
        ("A", date(2022, 12, 28), date(2023, 1, 5), date(2022, 12, 29)),
        ("B", date(2023, 12, 28), date(2024, 1, 5), date(2024, 1, 2)),
    ]


def test_days_of_nested_events_take_their_year_from_the_day_of_admission(tmp_path):
    toml = intake.SOURCE.replace("*.csv", "*.jsonl") + (
        f'\nformat = "json_lines"\ndate_order = "dmy"\n{STAY}\n[[source.procedure]]\neach = "events"\n'
        'year_of = "admission_date"\nprocedure = "what"\nprocedure_date = "at"\n'
    )
    line = '{"no": "A", "in": "28/12/2022", "events": [{"what": "watch", "at": "3/1"}]}\n'
    folder = intake.clinic(tmp_path, toml, line, "a.jsonl")
    assert intake.rows(folder, "select procedure_date from stage.procedures") == [(date(2023, 1, 3),)]


def test_a_year_of_nothing_is_a_slip(tmp_path):
    export = "no,in,out\nA1,1/2/2023,3/2\n"
    folder = laid(tmp_path, 'outcome_date = { column = "out", year_of = "admited" }\n', export)
    intake.clinic(folder, f"{intake.SOURCE}\n{STAY}", "no,in\nB1,2023-04-03\n", name="two")
    assert "the exports have no column 'admited'" in intake.problems(folder)[0]


def test_a_day_that_its_year_does_not_have_is_not_made_up(tmp_path):
    block = 'outcome_date = { column = "out", year_of = "in" }\n'
    export = "no,in,out\nA1,1/2/2023,29/2\nA2,1/2/2024,29/2\n"
    rows = intake.rows(
        laid(tmp_path, block, export),
        "select outcome_date, outcome_text from stage.stays order by case_number",
    )
    assert rows == [(None, "29/2"), (date(2024, 2, 29), "2024-02-29")]


# By hand: 27 June to 31 December are 187 days, to 31 January 218, to 29 February of a leap year 247, to 23 March 270.
@pytest.mark.parametrize(
    ("admitted", "out", "day"),
    [
        ("20/6/2023", "2.6.", None),  # a slip, or a stay of 348 days
        ("27/6/2023", "23.3.", date(2024, 3, 23)),
        ("27/6/2023", "24 Mar", None),
        ("28/12/2023", "2/1", date(2024, 1, 2)),
        ("3/1/2023", "30/12", date(2023, 12, 30)),  # the same year: nothing has to be supposed
    ],
)
def test_a_day_that_would_lie_far_over_the_new_year_is_not_completed(tmp_path, admitted, out, day):
    folder = laid(
        tmp_path, 'outcome_date = { column = "out", year_of = "in" }\n', f"no,in,out\nA,{admitted},{out}\n"
    )
    rows = intake.rows(folder, "select outcome_date, outcome_text from stage.stays")
    assert rows == [(day, day.isoformat() if day else out)]


def test_a_day_of_finding_after_the_admission_is_not_put_into_the_year_before(tmp_path):
    block = 'found_date = { column = "found", year_of = "in" }\n'
    folder = laid(tmp_path, block, "no,in,found\nA,3/1/2023,5/1\nB,3/1/2023,20/12\n")
    rows = intake.rows(folder, "select found_date, found_text from stage.stays order by case_number")
    assert rows == [(None, "5/1"), (date(2022, 12, 20), "2022-12-20")]


# Brisbane is at UTC+10 all the year; 14:00 UTC is its midnight.
@pytest.mark.parametrize(
    ("order", "stamp", "day"),
    [
        ("ymd", "2023-03-04 13:59", date(2023, 3, 4)),
        ("ymd", "2023-03-04T14:00:00", date(2023, 3, 5)),
        ("dmy", "31/12/2023 23:15", date(2024, 1, 1)),
        ("mdy", "3/4/2023 1:59 PM", date(2023, 3, 4)),
        ("mdy", "3/4/2023 2:00 PM", date(2023, 3, 5)),
        ("ymd", "2023-03-04", date(2023, 3, 4)),
        ("ymd", "2023-03-04T23:30+10:00", date(2023, 3, 4)),
    ],
)
def test_stamps_of_another_time_zone_are_days_of_the_clinic(tmp_path, order, stamp, day):
    settings = f'stamps_in = "UTC"\ndate_order = "{order}"'
    folder = laid(tmp_path, "", f"no,in\nA1,{stamp}\n", settings)
    assert intake.rows(folder, "select admission_date from stage.stay_rows") == [(day,)]


def test_excel_day_numbers_stand_beside_text_and_real_dates(tmp_path):
    toml = intake.SOURCE.replace("*.csv", "*.xlsx") + f'\nformat = "workbook"\ndate_order = "dmy"\n{STAY}'
    folder = intake.clinic(tmp_path, toml, "")
    (folder / "clinics/one/exports/stays.csv").unlink()
    book = openpyxl.Workbook()
    # Excel counts 1 January 2023 as 44927 (Microsoft's date system of 1900, from memory).
    for row in (
        ["no", "in"],
        ["A1", 44927],
        ["A2", "2/1/2023"],
        ["A3", datetime(2023, 1, 3)],
        ["A4", "44930"],
    ):
        book.active.append(row)
    book.save(folder / "clinics/one/exports/book.xlsx")
    rows = intake.rows(folder, "select admission_date from stage.stays order by case_number")
    assert rows == [(date(2023, 1, day),) for day in (1, 2, 3, 4)]


def test_in_text_files_a_bare_number_is_no_day_unless_said(tmp_path):
    plain = laid(tmp_path / "plain", "", "no,in\nA1,44927\n")
    stated = laid(tmp_path / "stated", "", "no,in\nA1,44927\n", 'date_order = "dmy"\nserial_days = true')
    days = "select admission_date from stage.stay_rows"
    assert (intake.rows(plain, days), intake.rows(stated, days)) == ([(None,)], [(date(2023, 1, 1),)])


@pytest.mark.parametrize(
    ("order", "text", "day"),
    [
        ("dmy", "03-ene-21", date(2021, 1, 3)),
        ("dmy", "3 de septiembre de 2021", date(2021, 9, 3)),
        ("dmy", "28 dic. 2021", date(2021, 12, 28)),
        ("mdy", "Sept 3, 2021", date(2021, 9, 3)),
        ("dmy", "5 August 2021", date(2021, 8, 5)),
        ("dmy", "5 foo 2021", None),
        ("ymd", "3.4.21", None),  # no day of the year 3
        ("ymd", "21/4/3", None),
    ],
)
def test_months_in_words_and_years_of_no_clinic(tmp_path, order, text, day):
    folder = laid(tmp_path, "", f'no,in\nA1,"{text}"\n', f'date_order = "{order}"')
    assert intake.rows(folder, "select admission_date from stage.stay_rows") == [(day,)]


def test_days_that_can_be_read_two_ways_are_asked_about(tmp_path):
    folder = laid(tmp_path, "", "no,in\nA1,3/4/2023\n", "")
    intake.clinic(folder, f"{intake.SOURCE}\n{STAY}", "no,in\nB1,2023-04-03\n", name="two")
    (said,) = intake.problems(folder)
    assert said == (
        "one, source stays: the days in 'in' can be read day first or month first (3/4/2023), and nothing says "
        'which.\nAsk the clinic, then set date_order = "dmy" or "mdy" in clinics/one/clinic.toml.'
    )


@pytest.mark.parametrize(
    "day", ["2023-04-03", "3 Apr 2023", "03-Apr-23", "3 abr 23", "20230403", "2023-04-03T10:00:00Z"]
)
def test_days_that_can_be_read_one_way_need_no_order(tmp_path, day):
    folder = laid(tmp_path, "", f"no,in\nA1,{day}\n", "")
    assert intake.rows(folder, "select admission_date from stage.stays") == [(date(2023, 4, 3),)]
