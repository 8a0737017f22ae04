"""Clinic words → shared codes: the clinic's row, then the shared list, else 'unmapped'; several axes; ignore."""

import networks
import pytest
from unsnag import checks
from unsnag.databases import reading

STAYS = """
    year,no,admission_date,species,sex,cause,injury,gear,severity,outcome,weight,old weight
    23,1,2023-01-01,GULL,u,HBC,,,bad,1,812,
    23,2,2023-01-01,Great  Egret,F,cat,,,,2,-,640
    24,1,2023-01-01,atropellada,,Atropelló,see notes,,,3,NA,650
    24,2,2023-01-01,gull,NA,hit\u00a0by\u00a0car,Gut-Hooked,,,zonked,700,
    24,,2023-01-01,gull,,fishing line,zonked,,-,Released,,
    24,3,2023-01-01,gull,,swan song,tangled in line,none,,alive,,
    """
TERMS = """
    cause,CAT,predator_attack
    cause,swan song,ignore
    sex,u,ignore
    injury,See Notes,ignore
    injury,gut-hooked,ingested
    injury,gut-hooked,gear:hook
    injury,Gut-hooked,body_site:stomach
    injury,gut-hooked,body_site:stomach
    outcome,gone,outcome_status:record_lost
    """
HEAD = """
    [legend.outcome]
    1 = "Released"
    2 = "Euthanased"
    3 = "gone"
    """
CELLS = """
    case_number = { join = ["year", "no"], separator = "/" }
    mass = { first_of = ["weight", "old weight"], unit = "g" }
    found_place = { constant = "the bay" }
    """


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = networks.write_network(tmp_path_factory.mktemp("words"))
    settings = 'export_date = 2024-01-31\nmissing = ["NA", "-"]'
    networks.write_clinic(folder, "north", STAYS, settings=settings, terms=TERMS, cells=CELLS, blocks=HEAD)
    return networks.build(folder)


def code(built, column, number, table="injuries"):
    return built.one(
        f"select {column} from standard.{table} inner join stage.stays using (record_id) "
        f"where case_number = '{number}'"
    )


def test_case_numbers_are_joined_and_an_empty_part_is_no_part(built):
    numbers = built.rows("select case_number from stage.stays order by row_number")
    assert [number for (number,) in numbers] == ["23/1", "23/2", "24/1", "24/2", "24", "24/3"]


def test_missing_words_first_filled_column_and_constant(built):
    masses = built.values("select case_number, mass_g from stage.stays")
    assert masses == {"23/1": 812, "23/2": 640, "24/1": 650, "24/2": 700, "24": None, "24/3": None}
    assert built.one("select distinct found_place from stage.stays") == "the bay"


@pytest.mark.parametrize("number", ["23/1", "24/1", "24/2"])
def test_words_match_without_case_accents_and_kinds_of_blanks(built, number):
    assert code(built, "cause_code", number) == "vehicle"


def test_the_clinics_row_beats_the_shared_list(built):
    assert code(built, "cause_code", "23/2") == "predator_attack"


def test_ignore_says_nothing_even_where_the_shared_list_would(built):
    assert code(built, "sex_code", "23/1", "animals") is None
    assert code(built, "cause_code", "24/3") is None
    assert code(built, "injury_code", "24/1") is None


def test_one_word_fills_several_axes(built):
    axes = [code(built, f"{axis}_code", "24/2") for axis in ("injury", "gear", "body_site")]
    assert axes == ["ingested", "hook", "stomach"]


def test_the_legend_is_read_before_the_terms(built):
    endings = (
        "select case_number, outcome_code from standard.endings inner join stage.stays using (record_id)"
    )
    assert built.values(endings)["23/1"] == "released"
    assert built.values(endings)["23/2"] == "euthanased"
    assert code(built, "outcome_status_code", "24/1", "endings") == "record_lost"


def test_a_word_without_a_code_is_unmapped_and_listed_with_the_row_to_paste(built):
    assert code(built, "injury_code", "24") == "unmapped"
    with reading(built.folder / "store" / "cases.duckdb") as connection:
        pasted = [line for problem in checks.open_words(connection) for line in problem.paste]
    words = [line.split(",")[:2] for line in pasted]
    asked = built.one("select count(*) from checks.found where rule = 'unmapped_words'")
    assert asked == len(words)
    assert words == [
        ["gear", "none"],
        ["injury", "zonked"],
        ["outcome", "alive"],
        ["outcome", "zonked"],
        ["species", "atropellada"],
    ]


def test_a_word_without_a_code_makes_no_tackle_case(built):
    """The gear column says 'none'; the injury alone would not do without a cause."""
    assert built.one("select is_tackle from mart.cases where case_id = 'north:24/3'") is False


def test_two_rows_that_agree_count_once(built):
    doubled = (
        "select word, axis from standard.coded_words group by clinic, field, word, axis having count(*) > 1"
    )
    assert built.rows(doubled) == []
