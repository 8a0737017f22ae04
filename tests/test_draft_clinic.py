"""A clinic drafted from its files: questions stay open, nothing is guessed, no personal data is shown."""

import tomllib
from datetime import date

import networks
import openpyxl
import pytest
from unsnag import store
from unsnag.draft import Answers, draft_clinic
from unsnag.draft.sources import files_pattern
from unsnag.errors import UnsnagError
from unsnag.workspace import load

EXPORT = "No,Date in,Animal,Weight,Outcome,Finder\n"


def drafted(folder, text, answers=None, file="export.csv", name="new"):
    """A network, and a clinic drafted from one file. Returns  what was drafted, its clinic.toml as a dict and text."""
    networks.write_network(folder)
    path = networks.write_text(folder / "inbox" / file, text)
    found = draft_clinic(folder, name, [path], answers or Answers())
    toml = (folder / "clinics" / name / "clinic.toml").read_text("utf-8")
    return found, tomllib.loads(toml), toml


def test_both_orders_fit_so_it_asks_and_leaves_the_key_out(tmp_path):
    found, toml, text = drafted(
        tmp_path, EXPORT + "1,03/04/2021,gull,350,released,Ann Other\n2,05/06/2021,gull,300,died,Bo Body\n"
    )
    assert "date_order" not in toml["source"][0]
    assert "# QUESTION: Day first or month first? In 'export' every day fits both orders" in text
    assert any(question.startswith("Day first or month first?") for question in found.questions)


def test_an_open_order_of_days_is_named_by_the_build(tmp_path):
    drafted(
        tmp_path,
        EXPORT + "1,03/04/2021,gull,350,released,Ann\n2,05/06/2021,gull,300,died,Bo\n",
        Answers(exported=date(2021, 7, 1)),
    )
    networks.write_clinic(tmp_path, "old", "case_number,admission_date\nB1,2021-01-01\n")
    (problem,) = store.build(load(tmp_path)).problems
    assert "new, source export: the days in 'Date in' can be read day first or month first" in str(problem)


def test_an_open_day_of_export_is_named_by_every_command(tmp_path):
    drafted(tmp_path, EXPORT + "1,13/04/2021,gull,350,released,Ann\n")
    with pytest.raises(UnsnagError, match=r"key source.1: say when it was exported"):
        load(tmp_path)


def test_what_is_asked_on_a_terminal_is_not_asked_again(tmp_path):
    said = {"exported": "2021-07-01", "date_order": "mdy", "timezone": "Australia/Brisbane"}
    answers = Answers(ask=lambda about, question: said[about])
    found, toml, _ = drafted(tmp_path, EXPORT + "1,03/04/2021,gull,350 g,released,Ann\n", answers)
    assert found.questions == ()
    source = toml["source"][0]
    assert (source["date_order"], source["export_date"]) == ("mdy", date(2021, 7, 1))


def test_personal_data_is_neither_mapped_nor_shown(tmp_path):
    people = ["Ann Other", "Bo Body", "Cy Citizen", "Di Doe", "Ed Edge", "Flo Fox"]
    rows = "".join(
        f"{number},13/04/2021,gull,350,released,{person},found by {person} of 12 Gannet Parade near the jetty wall,"
        f"0491 570 1{number}6\n"
        for number, person in enumerate(people)
    )
    _, toml, text = drafted(tmp_path, EXPORT.replace("Finder", "Brought by,Story,X9") + rows)
    assert toml["source"][0]["private"] == ["Brought by", "X9"]
    assert not any(person in text or person.split()[1] in text for person in people)
    assert "Gannet" not in text and "0491" not in text


def test_a_column_of_names_under_a_strange_heading_is_private_until_somebody_says_otherwise(tmp_path):
    people = ["Ann Other", "Bo Body", "Cy Citizen", "Di Doe", "Ed Edge", "Flo Fox"]
    rows = "".join(
        f"{number},13/04/2021,gull,350,released,{person}\n" for number, person in enumerate(people)
    )
    _, toml, text = drafted(tmp_path, EXPORT.replace("Finder", "Qx7") + rows)
    assert toml["source"][0]["private"] == ["Qx7"]
    assert "perhaps people's names" in text and "Ann Other" not in text


def test_repeated_columns_and_cells_of_several_facts_become_blocks(tmp_path):
    export = EXPORT.replace("Finder", "Treatment 1,Date 1,Treatment 2,Date 2,X-rays")
    rows = "".join(
        f"{number},13/04/2021,gull,350,released,fluids,13/04/2021,watch,14/04/2021,"
        "15/04/2021: in place; 22/04/2021: not budged\n"
        for number in range(5)
    )
    _, toml, _ = drafted(tmp_path, export + rows)
    source = toml["source"][0]
    assert source["procedure"] == [{"repeat": 2, "procedure": "Treatment {n}", "procedure_date": "Date {n}"}]
    form = {"column": "X-rays", "between": ";", "form": "{finding_date}: {finding}"}
    assert source["finding"] == [{"facts": form}]
    assert "finding,not budged,?,,5 records" in (tmp_path / "clinics/new/terms.csv").read_text("utf-8")


@pytest.mark.parametrize("admitted", ["Date in", "Xq"])
def test_facts_whose_days_have_no_year_take_it_from_the_admission_even_if_that_is_not_found(
    tmp_path, admitted
):
    export = EXPORT.replace("Finder", "X-rays").replace("Date in", admitted)
    rows = "".join(
        f"{number},13/04/2021,gull,350,released,15/4: in place; 22/4: moved\n" for number in range(5)
    )
    _, toml, _ = drafted(tmp_path, export + rows)
    (block,) = toml["source"][0]["finding"]
    assert block["year_of"] == "admission_date"
    assert ("admission_date" in toml["source"][0]["stay"]) == (admitted == "Date in")


def test_a_draft_says_that_columns_it_does_not_read_are_stored(tmp_path):
    rows = "".join(f"{number},13/04/2021,gull,350,released,zip{number}\n" for number in range(5))
    lines = drafted(tmp_path / "some", EXPORT.replace("Finder", "Qx7") + rows)[2].splitlines()
    said = next(
        number for number, line in enumerate(lines) if line.startswith("# What is not read is stored")
    )
    assert "under private" in lines[said + 1]
    assert lines[said + 2].startswith('# not read: "Qx7"')
    assert "stored all the same" not in drafted(tmp_path / "none", EXPORT + rows)[2]


def test_columns_that_repeat_with_letters_become_one_block(tmp_path):
    export = EXPORT.replace("Finder", "Tx A,Tx A when,Tx B,Tx B when")
    rows = "".join(f"{number},13/04/2021,gull,350,released,fluids,13/04,watch,14/04\n" for number in range(5))
    _, toml, _ = drafted(tmp_path, export + rows)
    when = {"column": "Tx {n} when", "year_of": "admission_date"}
    assert toml["source"][0]["procedure"] == [
        {"repeat": ["A", "B"], "procedure": "Tx {n}", "procedure_date": when}
    ]


def test_a_column_that_was_renamed_is_read_under_both_names(tmp_path):
    networks.write_network(tmp_path)
    paths = [
        networks.write_text(
            tmp_path / f"book_{year}.csv",
            EXPORT.replace("Date in", name) + f"{year},13/04/{year},gull,350,died,\n",
        )
        for year, name in ((2021, "Recd"), (2022, "Date received"))
    ]
    draft_clinic(tmp_path, "new", paths, Answers())
    toml = tomllib.loads((tmp_path / "clinics/new/clinic.toml").read_text("utf-8"))
    assert toml["source"][0]["stay"]["admission_date"] == {"first_of": ["Recd", "Date received"]}


def test_numbers_that_restart_each_year_are_joined_with_it(tmp_path):
    rows = "".join(
        f"{number},13/04/{year},gull,350,released,\n" for year in (2020, 2021, 2022) for number in range(1, 8)
    )
    _, toml, _ = drafted(tmp_path, EXPORT + rows)
    assert toml["source"][0]["stay"]["case_number"] == {"column": "No", "year_of": "Date in"}


def test_days_without_a_year_take_it_from_the_files_name(tmp_path):
    rows = "1,13/4,gull,350,released,\n2,15/4,gull,350,released,\n"
    _, toml, _ = drafted(tmp_path, EXPORT + rows, file="book_2021.csv")
    assert toml["source"][0]["stay"]["admission_date"] == {"column": "Date in", "year_of": "_file_name"}


def test_codes_without_meaning_wait_for_their_legend(tmp_path):
    rows = "".join(f"{number},13/04/2021,gull,350,{number % 3},\n" for number in range(9))
    found, toml, text = drafted(tmp_path, EXPORT + rows)
    assert toml["legend"] == {"outcome": {}} and '# "0" = "…"   # 3 times' in text
    assert "What do the codes of outcome mean? Fill in [legend.outcome]." in found.questions


def test_totals_titles_and_missing_marks_are_seen(tmp_path):
    rows = "A1;13.4.2021;gull;1,25;released;-\nA2;14.4.2021;swan;9,5;died;\nTotal;;2;;;\n"
    _, toml, _ = drafted(tmp_path, "Seal Bay Clinic\n\n" + EXPORT.replace(",", ";") + rows)
    source = toml["source"][0]
    assert (source["delimiter"], source["title_rows"], source["totals"]) == (";", 2, "Total")
    assert (source["decimal"], source["missing"], source["date_order"]) == (",", ["-"], "dmy")


def test_a_file_that_shares_the_numbers_of_stays_and_tells_nothing_else_is_asked_about(tmp_path):
    networks.write_network(tmp_path)
    stays = EXPORT + "".join(f"A{number},13/04/2021,gull,350,died,\n" for number in range(6))
    other = "No,Zeta,Qux\n" + "".join(f"A{number},abc,def\n" for number in (1, 1, 2, 3))
    paths = [
        networks.write_text(tmp_path / name, text) for name, text in (("a.csv", stays), ("b.csv", other))
    ]
    found = draft_clinic(tmp_path, "new", paths, Answers())
    assert [draft.record for draft in found.drafts] == ["stay", "procedure"]
    asked = "What is a row of 'b': a procedure, a finding, a piece of gear? Drafted as procedure."
    assert asked in found.questions


def test_headings_that_say_utc_are_believed(tmp_path):
    rows = "1,2021-04-13 22:00:00,gull,350,released,\n2,2021-04-14 01:00:00,gull,300,died,\n"
    _, toml, _ = drafted(tmp_path, EXPORT.replace("Date in", "admitted_utc") + rows)
    assert toml["source"][0]["stamps_in"] == "UTC"


def test_small_numbers_speak_for_no_field_by_themselves(tmp_path):
    rows = "".join(f"{number},13/04/2021,gull,350,released,{number % 4 + 1}\n" for number in range(8))
    _, toml, _ = drafted(tmp_path, EXPORT.replace("Finder", "Zeta") + rows)
    assert "triage_score" not in toml["source"][0]["stay"]


def test_sheets_and_kinds_of_files_become_sources(tmp_path):
    networks.write_network(tmp_path)
    book = openpyxl.Workbook()
    book.active.title = "Patients"
    book.active.append(["No", "Date in", "Animal", "Outcome"])
    book.active.append(["A1", date(2021, 4, 13), "gull", "released"])
    sheet = book.create_sheet("Treatments")
    sheet.append(["Patient no", "Date", "Treatment"])
    sheet.append(["A1", date(2021, 4, 14), "fluids"])
    book.create_sheet("Empty")
    path = tmp_path / "inbox.xlsx"
    book.save(path)
    found = draft_clinic(tmp_path, "new", [path], Answers())
    assert [(draft.name, draft.record) for draft in found.drafts] == [
        ("patients", "stay"),
        ("treatments", "procedure"),
    ]


def test_exports_of_several_years_are_one_source_with_its_dates_in_the_names(tmp_path):
    networks.write_network(tmp_path)
    paths = [
        networks.write_text(
            tmp_path / f"book_{year}-01-31.csv", EXPORT + f"{year},13/04/{year - 1},gull,350,died,\n"
        )
        for year in (2021, 2022)
    ]
    found = draft_clinic(tmp_path, "new", paths, Answers(timezone="Australia/Brisbane"))
    (draft,) = found.drafts
    assert draft.export_date == 'export_date_in_name = "%Y-%m-%d"' and draft.files == "exports/*.csv"


def test_words_without_a_code_wait_in_terms_csv(tmp_path):
    found, *_ = drafted(
        tmp_path, EXPORT + "1,13/04/2021,gull,350,releesed,\n2,13/04/2021,gul,300,released,\n"
    )
    text = (tmp_path / "clinics/new/terms.csv").read_text("utf-8")
    assert "outcome,releesed,?,,1 record; perhaps released (spelt like 'released')" in text
    assert "outcome,released" not in text and found.open_words == 2


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("Big Clinic", EXPORT + "1,13/04/2021,gull,350,died,\n", "this can be no clinic's folder"),
        ("new", "", "the file is empty"),
        ("new", "just\nsome\nwords\n", "there is no header row"),
    ],
)
def test_what_cannot_be_drafted_is_said_and_nothing_is_left(tmp_path, name, text, said):
    with pytest.raises(UnsnagError, match=said):
        drafted(tmp_path, text, name=name)
    assert not list((tmp_path / "clinics").glob("*"))


def test_a_clinic_that_is_there_is_never_overwritten(tmp_path):
    drafted(tmp_path, EXPORT + "1,13/04/2021,gull,350,died,\n")
    said = r"there is such a clinic already\.\nA further export of the clinic goes into clinics/new/exports/"
    with pytest.raises(UnsnagError, match=said):
        drafted(tmp_path, EXPORT)


def test_files_of_one_kind_have_one_pattern(tmp_path):
    assert files_pattern([tmp_path / "a.csv", tmp_path / "b.csv"], "exports") == "exports/*.csv"
    assert files_pattern([tmp_path / "a.csv", tmp_path / "b.txt"], "exports") == "exports/*"
