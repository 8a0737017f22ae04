"""Days out of text: each clinic's order, two-digit years, days that do not exist, stamps near midnight."""

from datetime import date

import networks
import pytest

DAY_FIRST = {
    "3.4.2021": date(2021, 4, 3),
    "03/04/2021": date(2021, 4, 3),
    "3-4-21": date(2021, 4, 3),
    "3.4.21": date(2021, 4, 3),
    "3.4.89": date(1989, 4, 3),
    "29 Apr 02": date(2002, 4, 29),
    "2 Sep 2001": date(2001, 9, 2),
    "2 September 2001": date(2001, 9, 2),
    "2-Sep-01": date(2001, 9, 2),
    "29.2.2024": date(2024, 2, 29),
    "13/4/2021 09:30": date(2021, 4, 13),
    "2021-04-13": date(2021, 4, 13),
    "2021-04-13 00:00:00": date(2021, 4, 13),
}
MONTH_FIRST = {
    "3/4/2021": date(2021, 3, 4),
    "03/04/21": date(2021, 3, 4),
    "12-31-2023": date(2023, 12, 31),
    '"Sep 2, 2001"': date(2001, 9, 2),
    "2/29/2024 23:59": date(2024, 2, 29),
}
YEAR_FIRST = {
    "2021/04/03": date(2021, 4, 3),
    "20210403": date(2021, 4, 3),
    "2021-4-3": date(2021, 4, 3),
    "2021-4-3 9:15": date(2021, 4, 3),
    "2021.04.03": date(2021, 4, 3),
    "3 Apr 2021": date(2021, 4, 3),
}
# Brisbane is at UTC+10 all the year; 14:00 UTC is its midnight.
BRISBANE = {
    "2023-03-04T13:59:59Z": date(2023, 3, 4),
    "2023-03-04T14:00:00Z": date(2023, 3, 5),
    "2023-03-05T01:00:00+11:00": date(2023, 3, 5),
    "2023-03-04T23:30:00+10:00": date(2023, 3, 4),
    "2023-03-04T23:30:00-0500": date(2023, 3, 5),
    "2023-03-04T23:30:00": date(2023, 3, 4),
}
NO_DAYS = ["31.4.2021", "29.2.2023", "0.4.2021", "13.13.2021", "soon", "2021", "3.4.20211"]


def stays(days):
    rows = [f"{number},{day}" for number, day in enumerate(days)]
    return "\n".join(["case_number,admission_date", *rows, ""])


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = networks.write_network(tmp_path_factory.mktemp("days"))
    for name, days, order in (
        ("day_first", [*DAY_FIRST, *NO_DAYS], "dmy"),
        ("month_first", MONTH_FIRST, "mdy"),
        ("year_first", YEAR_FIRST, "ymd"),
    ):
        settings = f'export_date = 2024-12-31\ndate_order = "{order}"'
        networks.write_clinic(folder, name, stays(days), settings=settings)
    zone = 'timezone = "Australia/Brisbane"'
    networks.write_clinic(folder, "brisbane", stays(BRISBANE), head=zone)
    return networks.build(folder)


@pytest.mark.parametrize(
    ("clinic", "expected"),
    [
        ("day_first", DAY_FIRST),
        ("month_first", MONTH_FIRST),
        ("year_first", YEAR_FIRST),
        ("brisbane", BRISBANE),
    ],
)
def test_days_are_read_in_the_clinics_order_and_zone(built, clinic, expected):
    read = built.values(
        f"select admission_text, admission_date from stage.stay_rows where clinic = '{clinic}' "
        "and refusal_reason is null"
    )
    assert read == {written.strip('"'): day for written, day in expected.items()}


def test_a_day_that_does_not_exist_refuses_the_record_and_is_listed(built):
    refused = built.rows(
        "select admission_text, refusal_reason from stage.stay_rows where refusal_reason is not null"
    )
    assert dict(refused) == dict.fromkeys(NO_DAYS, "admission date unreadable")
    assert built.one("select count(*) from checks.found where rule = 'refused_rows'") == len(NO_DAYS)
