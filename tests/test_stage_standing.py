"""How records of one stay stand to each other: repeats, newer exports, one number for two animals, refusals."""

from datetime import date

import networks
import pytest

DATED = 'export_date_in_name = "stays_%Y-%m-%d"'
EXPORTS = {
    "stays_2023-02-01.csv": """
        case_number,admission_date,species,outcome,first,first_on
        a,2023-01-01,gull,pending,fluids,2023-01-02
        b,2023-01-02,gull,died,fluids,2023-01-02
        i,2023-01-05,gull,died,,
        j,2023-01-06,gull,died,,
        k,2023-01-07,gull,died,,
        c,2023-01-03,gull,released,wash out,2023-01-04
        """,
    "stays_2024-02-01.csv": """
        case_number,admission_date,species,outcome,first,first_on
        a,2023-01-01,gull,released,analgesia,2023-01-05
        c,2023-01-03,gull,released,,
        d,2023-06-01,gull,died,fluids,2023-06-02
        d,2023-06-01,gull,released,fluids,2023-06-02
        e,2023-07-01,gull,died,fluids,2023-07-01
        e,2023-07-01,pelican,released,analgesia,2023-07-01
        f,2023-08-01,gull,died,,
        f,2023-08-09,gull,released,,
        ,2023-09-01,gull,died,,
        g,,gull,died,,
        h,2023-10-01,gull,died,,
        i,2024-01-05,gull,released,,
        j,2023-01-07,pelican,released,,
        k,2023-01-08,gull,released,,
        """,
}
BLOCK = """
    [[source.procedure]]
    procedure = "first"
    procedure_date = "first_on"
    """
SHEET = """
    case_number,procedure,procedure_date
    a,radiograph,2023-01-01
    nobody,radiograph,2023-01-01
    """


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = networks.write_network(tmp_path_factory.mktemp("standing"))
    networks.write_clinic(folder, "harbour", EXPORTS, settings=DATED, blocks=BLOCK)
    # A sheet of its own, exported on another day than the patients' rows, in another source.
    sheet = folder / "clinics" / "harbour" / "exports" / "films_2022.csv"
    networks.write_text(sheet, SHEET)
    with (folder / "clinics" / "harbour" / "clinic.toml").open("a") as toml:
        toml.write('[[source]]\nname = "films"\nfiles = "exports/films_*.csv"\nexport_date = 2022-12-31\n')
        columns = ("case_number", "procedure", "procedure_date")
        toml.write("[[source.procedure]]\n" + "".join(f'{name} = "{name}"\n' for name in columns))
    return networks.build(folder)


def standing(built, number):
    return sorted(built.rows(f"select standing, outcome from stage.stays where case_number = '{number}'"))


def test_the_newest_export_has_the_last_word(built):
    assert standing(built, "a") == [("current", "released"), ("superseded", "pending")]


def test_a_stay_that_the_newest_export_lacks_is_kept_and_asked(built):
    assert standing(built, "b") == [("current", "died")]
    found = "select case_number from checks.found where rule = 'not_in_newest_export'"
    assert built.rows(found) == [("b",)]


def test_the_later_of_two_rows_in_one_file_is_believed_and_asked(built):
    assert standing(built, "d") == [("current", "released"), ("repeat", "died")]
    assert built.rows("select case_number from checks.found where rule = 'repeated_row'") == [("d",)]


@pytest.mark.parametrize("number", ["e", "f"])
def test_one_number_for_two_animals_keeps_both_and_asks(built, number):
    assert standing(built, number) == [("current", "died"), ("current", "released")]
    ids = built.rows(f"select stay_id from stage.stays where case_number = '{number}' order by stay_id")
    assert ids == [(f"harbour:{number}",), (f"harbour:{number}#2",)]
    found = "select case_number from checks.found where rule = 'number_for_two_animals' order by 1"
    assert built.rows(found) == [("e",), ("f",)]


def test_records_without_number_or_day_are_refused_with_the_reason(built):
    refused = "select row_number, refusal_reason from stage.stay_rows where refusal_reason is not null"
    assert built.values(refused) == {10: "no case number", 11: "no admission date"}


def test_the_newest_export_that_tells_of_procedures_is_believed_whole(built):
    told = (
        "select procedure from stage.procedures where is_current and case_number = '{}' and source = 'stays'"
    )
    assert built.rows(told.format("a")) == [("analgesia",)]
    assert built.rows(told.format("c")) == [("wash out",)]


def test_a_repeated_row_does_not_double_its_procedures(built):
    told = "select stay_id, count(*) from mart.procedures inner join mart.stays using (case_id) group by all"
    assert built.values(told)["harbour:d"] == 1


def test_two_animals_of_one_number_keep_their_own_procedures(built):
    told = "select stay_id, procedure from stage.procedures where is_current and case_number = 'e'"
    assert built.values(told) == {"harbour:e": "fluids", "harbour:e#2": "analgesia"}


def test_an_older_sheet_of_another_source_still_counts(built):
    told = "select procedure, procedure_date from stage.procedures where is_current and source = 'films'"
    assert ("radiograph", date(2023, 1, 1)) in built.rows(told + " and stay_id = 'harbour:a'")


def test_a_record_of_a_number_that_no_stay_has_is_asked(built):
    found = "select case_number, detail from checks.found where rule = 'record_without_stay'"
    assert built.rows(found) == [("nobody", "procedure")]


def test_a_number_that_starts_anew_is_asked_and_a_corrected_day_is_not(built):
    found = "select case_number from checks.found where rule = 'number_used_again' order by 1"
    assert built.rows(found) == [("i",), ("j",)]


# Two yearly books with one stated day: the second sorts last and is believed.
BOOKS = {
    "book_a.csv": """
        case_number,admission_date,species,outcome,first,first_on
        m,2023-12-30,gull,released,fluids,2023-12-31
        n,2023-12-30,gull,pending,fluids,2023-12-31
        o,2023-12-30,gull,pending,fluids,2023-12-31
        p,2023-12-30,gull,pending,,
        """,
    "book_b.csv": """
        case_number,admission_date,species,outcome,first,first_on
        n,2023-12-30,gull,pending,fluids,2023-12-31
        m,2023-12-30,gull,pending,fluids,2023-12-31
        o,2023-12-30,gull,pending,analgesia,2023-12-31
        q,2023-12-30,gull,pending,,
        """,
}


def differing(built):
    return built.rows(
        "select case_number, row_number, detail from checks.found where rule = 'files_of_one_day_differ' order by 1"
    )


def test_two_files_of_one_day_that_differ_are_asked_about_and_equal_ones_are_not(tmp_path):
    folder = networks.write_network(tmp_path)
    networks.write_clinic(folder, "harbour", BOOKS, blocks=BLOCK)
    believed = "believed: row {} of clinics/harbour/exports/stays/book_b.csv"
    assert differing(networks.build(folder)) == [
        ("m", 2, believed.format(3)),
        ("o", 4, believed.format(4)),
    ]


def test_files_of_two_days_may_differ(built):
    assert differing(built) == []
