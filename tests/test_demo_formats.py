"""Each demo clinic's export really has the layout, number and date formats that it is there to show."""

import datetime as dt
import re

import demo_exports as demo
import openpyxl
import pytest

DEMO = demo.DEMO


def parts(text, pattern):
    match = re.fullmatch(pattern, text)
    assert match, f"{text} is not written as {pattern}"
    return [int(part) for part in match.groups()]


def test_marea_alta_is_windows_1252_with_semicolons_decimal_commas_and_dotted_dates():
    raw = demo.path("marea_alta").read_bytes()
    with pytest.raises(UnicodeDecodeError):
        raw.decode("utf-8")
    lines = raw.decode("windows-1252").split("\r\n")
    assert lines[0].startswith("Ficha;Entrada;")
    assert [line for line in lines if line.startswith("Total;")] == [lines[-2]]
    for row in demo.main_rows("marea_alta"):
        day, month, _ = parts(row["Entrada"], r"(\d{1,2})\.(\d{1,2})\.(\d{4})")
        assert 1 <= month <= 12 and 1 <= day <= 31
        assert re.fullmatch(r"\d+,\d{3}", row["Peso (kg)"])
    assert max(parts(row["Entrada"], r"(\d+)\.\d+\.\d+")[0] for row in demo.main_rows("marea_alta")) > 12


def test_quennaby_is_a_workbook_with_title_rows_three_sheets_and_true_dates():
    book = openpyxl.load_workbook(demo.path("quennaby"), read_only=True)
    assert book.sheetnames == ["Patients", "Procedures", "X-rays"]
    first_headings = {"Patients": (4, "Patient no."), "Procedures": (3, "Patient"), "X-rays": (2, "Patient")}
    for name, (row, heading) in first_headings.items():
        assert book[name].cell(row, 1).value == heading
    assert all(isinstance(row["Arrived"], dt.datetime) for row in demo.main_rows("quennaby"))
    assert all(isinstance(row["Weight (g)"], int) for row in demo.main_rows("quennaby"))


def test_quennaby_children_belong_to_its_patients():
    own = set(demo.numbers("quennaby"))
    for sheet, title_rows in (("Procedures", 2), ("X-rays", 1)):
        rows = demo.sheet_rows(sheet, title_rows)
        assert len(rows) > 300
        assert {row["Patient"] for row in rows} <= own


def lantern_rock_exports():
    early, late = sorted(demo.path("lantern_rock").parent.glob("*.csv"))
    return [{row["Ref"]: row for row in demo.csv_rows(file)} for file in (early, late)]


def test_lantern_rocks_later_export_corrects_some_rows_and_lacks_a_few():
    early, late = lantern_rock_exports()
    since = {number for number, row in early.items() if row["In"][-4:] in ("2022", "2023", "2024")}
    lacking = sorted(since - set(late))
    corrected = sorted(number for number in since & set(late) if early[number]["Wt"] != late[number]["Wt"])
    assert lacking == sorted(demo.slips("lacking_in_later_export")["lantern_rock"])
    assert corrected == sorted(demo.slips("corrected_in_later_export")["lantern_rock"])
    assert lacking and corrected and set(late) - set(early)


def test_lantern_rock_tells_tackle_in_free_text():
    number = demo.number_column("lantern_rock")
    own = {
        stay["case_number"]: stay["case_id"]
        for stay in demo.truth("stays")
        if stay["clinic"] == "lantern_rock"
    }
    swallowed = {case["case_id"] for case in demo.truth("cases") if case["injury"] == "ingested"}
    rows = [row for row in demo.main_rows("lantern_rock") if own[row[number]] in swallowed]
    assert len(rows) > 50
    assert all("wallowed" in row["Story"] for row in rows)
    assert not any("Tackle" in column or "body" in column for column in rows[0])


def stamps(value):
    """Every stamp anywhere in a JSON value."""
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list):
        return [stamp for item in value for stamp in stamps(item)]
    return [value] if isinstance(value, str) and re.match(r"\d{4}-\d\d-\d\dT", value) else []


def test_tern_street_nests_events_with_offsets_some_near_midnight():
    records = demo.main_rows("tern_street")
    moments = [dt.datetime.fromisoformat(stamp) for stamp in stamps(records)]
    assert {moment.utcoffset() for moment in moments} == {dt.timedelta(hours=hours) for hours in (0, 10, 11)}
    # 00:30 here is the day before in UTC: whoever cuts the text off gets the wrong day.
    in_utc = [moment for moment in moments if not moment.utcoffset()]
    assert sum(moment.hour >= 14 for moment in in_utc) > 20
    assert sum(moment.hour in (0, 23) and moment.utcoffset() != dt.timedelta(0) for moment in moments) > 20
    assert any(len(record["events"]) > 5 for record in records) and any(
        len(record["gear"]) > 1 for record in records
    )


def test_tern_streets_local_days_are_the_true_days():
    true = {
        stay["case_number"]: stay["from_date"]
        for stay in demo.truth("stays")
        if stay["clinic"] == "tern_street"
    }
    for record in demo.main_rows("tern_street"):
        moment = dt.datetime.fromisoformat(record["admitted_at"])
        summer = moment.utcoffset() or southern_summer(moment)
        local = moment.astimezone(dt.timezone(summer))
        assert local.date().isoformat() == true[record["ref"]]


def southern_summer(moment):
    """Offset of the island's clock: +11 from the first Sunday of October to the first Sunday of April, else +10."""

    def first_sunday(month):
        first = dt.datetime(moment.year, month, 1, 16, tzinfo=dt.UTC)
        return first + dt.timedelta(days=(6 - first.weekday()) % 7 - 1)

    is_summer = not first_sunday(4) <= moment < first_sunday(10)
    return dt.timedelta(hours=11 if is_summer else 10)


def test_skerrandine_is_tab_separated_month_first_and_coded_with_a_legend():
    rows, legend = demo.main_rows("skerrandine"), demo.layout("skerrandine")["legend"]
    days = [parts(row["DATE IN"], r"(\d+)/(\d+)/(\d{4})") for row in rows]
    assert max(month for month, _, _ in days) == 12 and max(day for _, day, _ in days) == 31
    assert {row["RESULT"] for row in rows} <= set(legend["outcome"])
    assert {row["CAUSE"] for row in rows} <= set(legend["cause"])
    assert {row["SEV"] for row in rows if row["SEV"]} == set(legend["severity"])


def test_skerrandine_gives_place_names_only_and_all_stand_in_the_gazetteer():
    known = {row["place"].casefold() for row in demo.csv_rows(DEMO / "places" / "gazetteer.csv")}
    rows = demo.main_rows("skerrandine")
    assert {row["PLACE"].casefold() for row in rows} <= known
    assert not any("lat" in column.casefold() for column in rows[0])


def test_skerrandine_has_one_row_for_a_clutch_that_states_its_animals():
    (row,) = [row for row in demo.main_rows("skerrandine") if row["HOW MANY"] != "1"]
    assert [row["CARD"]] == demo.slips("clutch_row")["skerrandine"]
    assert int(row["HOW MANY"]) == sum(int(row[name]) for name in ("N RELEASED", "N DIED", "N EUTH"))
    assert [case["animals"] for case in demo.truth("cases") if case["stays"] == row["CARD"]] == [
        row["HOW MANY"]
    ]
