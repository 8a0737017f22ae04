"""An analysis of a network's own: found, run, checked, held to the floor, published, in the report's appendix."""

import shutil
from dataclasses import replace

import networks
import pandas as pd
import pytest
from conftest import CHECKOUT
from typer.testing import CliRunner
from unsnag import cli, own, resources, run
from unsnag.errors import UnsnagError
from unsnag.own import floor
from unsnag.own.contract import find
from unsnag.report import content, html, pdf, write_tables
from unsnag.report.published import read
from unsnag.workspace import load

EXAMPLE = CHECKOUT / "dashboards" / "examples" / "night_in_care.py"
# Each of three clinics has gulls with hooks; only the first has a swan, so that the swan's row rests on one clinic and
# takes the smaller of the gulls' two rows with it.
HEAD = "case_number,admission_date,species,cause,severity,outcome,outcome_date,found_place\n"
GULLS = "".join(
    f"{n},2023-0{n}-01,gull,fish hook,{'mild' if n < 5 else 'moderate'},released,2023-0{n}-09,Old Pier\n"
    for n in range(1, 7)
)
SWAN = "9,2023-09-01,swan,fish hook,critical,died,2023-09-01,Quiet Cove\n"
HARMLESS = EXAMPLE.read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    """Three small clinics with the example in their analyses/, built once."""
    folder = networks.write_network(tmp_path_factory.mktemp("built") / "network")
    for number, name in enumerate(("north", "south", "west")):
        networks.write_clinic(folder, name, HEAD + GULLS + (SWAN if number == 0 else ""))
    put(folder, "night_in_care", HARMLESS)
    networks.build(folder)
    return folder


@pytest.fixture
def place(built, tmp_path):
    return shutil.copytree(built, tmp_path / "network")


@pytest.fixture(scope="module")
def published(built, tmp_path_factory):
    """The same, published once: the other analyses take their time."""
    folder = shutil.copytree(built, tmp_path_factory.mktemp("published") / "network")
    run.analyse_and_publish(load(folder), networks.quiet)
    return folder


def put(folder, name, text):
    networks.write_text(folder / "analyses" / f"{name}.py", text)


def computed(folder, how=own.compute_all):
    return run.own_analyses(load(folder), how)


def slip(folder, how=own.compute_all):
    with pytest.raises(UnsnagError) as caught:
        computed(folder, how)
    return str(caught.value).replace("\n", " ")


def test_the_example_is_found_and_its_rows_of_few_clinics_are_withheld(place):
    (found,) = computed(place)
    assert found.table == "own_night_in_care" and found.withheld == 2
    (row,) = found.shown.itertuples()
    assert (row.severity_code, row.clinics, row.animals, row.lasted) == ("mild", 3, 12, 12)


def test_it_is_published_with_its_words_and_never_the_withheld_row(published):
    there = networks.Built(published)
    assert there.public("select severity_code, animals from public.own_night_in_care") == [("mild", 12)]
    ((words,),) = there.public("select comment from duckdb_tables() where table_name = 'own_night_in_care'")
    assert "lived to the day after" in words and "2 rows are withheld" in words
    told = there.public(
        "select column_name, comment from duckdb_columns() where table_name = 'own_night_in_care'"
    )
    assert dict(told)["lasted"].startswith("of these, alive")
    assert there.public("select analysis, withheld from public.own_analyses") == [("own_night_in_care", 2)]


def test_an_analysis_that_was_taken_away_is_no_longer_published(published, tmp_path):
    path = shutil.copy(published / "store" / "cases.duckdb", tmp_path / "cases.duckdb")
    with run.changed_copy(path) as connection:
        assert connection.execute("select count(*) from result.own_night_in_care").fetchone() == (1,)
        own.write(connection, [], 3, 3)
        left = "select count(*) from duckdb_tables() where schema_name = 'result' and starts_with(table_name, 'own_')"
        assert connection.execute(left).fetchone() == (0,)


def test_it_stands_in_the_reports_appendix_on_screen_and_paper(published, tmp_path):
    """The last section alone: the pictures of the others have tests of their own."""
    dashboards = resources.folder("dashboards")
    outline = content.plan(dashboards)
    whole = content.compose(outline, read(published / "out" / "public.duckdb", outline["words"]), 2023)
    report = replace(whole, sections=whole.sections[-1:])
    page = html.render(report, {}, dashboards)
    assert "The first night in care" in page and "lived to the day after admission" in page
    assert "2 rows are withheld" in page and "tables/own_night_in_care.csv" in page and ">mild<" in page
    assert pdf.write_pdf(report, {}, dashboards, tmp_path / "report.pdf").read_bytes().startswith(b"%PDF")


def test_its_rows_are_a_file_among_the_reports_tables(published, tmp_path):
    names = [path.name for path in write_tables(published / "out" / "public.duckdb", tmp_path)]
    assert {"own_night_in_care.csv", "own_analyses.csv"} <= set(names)
    told = (tmp_path / "tables" / "own_night_in_care.csv").read_text(encoding="utf-8").splitlines()
    assert (
        told[0].startswith("severity_code,clinics,animals")
        and told[1].startswith("mild,3,12")
        and len(told) == 2
    )


def test_check_runs_it_twice_and_says_so(place):
    shown = CliRunner().invoke(cli.app, ["check", str(place)])
    assert shown.exit_code == 0, shown.output
    assert "analyses/night_in_care.py: 1 rows to publish, 2 withheld." in shown.output


def test_check_refuses_one_that_depends_on_chance(place):
    chance = 'frame["percent"] = 100 * frame["lasted"] / frame["animals"] + __import__("random").random()'
    put(
        place,
        "night_in_care",
        HARMLESS.replace('frame["percent"] = 100 * frame["lasted"] / frame["animals"]', chance),
    )
    assert "a second run gives other rows" in slip(place, own.check)
    shown = CliRunner().invoke(cli.app, ["check", str(place)])
    assert shown.exit_code == 1 and "Traceback" not in shown.output


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('TITLE = "', 'TITEL = "', "TITLE is missing"),
        ('    "clinics": "clinics that they came to",\n', "", "there is no column 'clinics'"),
        ("def compute(", "def compute_it(", "there is no compute(mart)"),
        ('"how grave the injury was at admission"', '""', "COLUMNS does not say"),
        ("frame[list(COLUMNS)]", "frame[list(COLUMNS)[1:]]", "compute gives other columns"),
        ("from mart.cases", "from mart.casez", "night_in_care.py, line 36: CatalogException"),
        ("def compute(mart):", "def compute(mart):\n    1 / 0", "line 35: ZeroDivisionError"),
        ("from unsnag.stats", "from nowhere.stats", "line 7: ModuleNotFoundError"),
        ("def compute(mart):", "def compute(mart:", "night_in_care.py, line"),
    ],
)  # fmt: skip
def test_a_slip_names_the_file_and_what_to_mend(place, old, new, said):
    assert old in HARMLESS
    put(place, "night_in_care", HARMLESS.replace(old, new))
    told = slip(place)
    assert said in told and "Traceback" not in told and str(place) not in told


@pytest.mark.parametrize(
    ("expression", "said"),
    [
        ("max(clinic)", "tells a private word"),
        ("max(case_id)", "tells a private word"),
        ("max(found_place)", "tells a private word"),
        ("max('seen at ' || clinic || ', alive')", "tells a private word"),
        ("max('near ' || found_place)", "tells a private word"),
        ("max('from ' || admission_date)", "tells days"),
        ("max('from ' || strftime(admission_date, '%d/%m/%Y'))", "tells days"),
        ("max(admission_date)", "holds days or objects"),
        ("list(stay_days)", "holds days or objects"),
    ],
)
def test_what_public_tables_never_hold_is_refused(place, expression, said):
    text = HARMLESS.replace("coalesce(severity_code, 'not_stated') as", f"{expression} as").replace(
        "group by all\n", ""
    )
    put(place, "night_in_care", text)
    assert said in slip(place)


def test_it_cannot_change_the_store_nor_see_the_secret_of_the_pseudonyms(place):
    put(
        place,
        "night_in_care",
        HARMLESS.replace("    frame = mart", "    mart.frame('drop table mart.cases')\n    frame = mart"),
    )
    assert "read-only" in slip(place)
    put(
        place,
        "night_in_care",
        HARMLESS.replace("    frame = mart", "    mart.settings['pseudonym_key']\n    frame = mart"),
    )
    assert "KeyError" in slip(place)


def test_a_name_that_no_table_can_bear_is_a_slip(place):
    put(place, "Night in care", HARMLESS)
    assert "its name cannot be a table's" in slip(place)


def test_a_workspace_without_analyses_has_none(tmp_path):
    assert find(tmp_path) == []


@pytest.mark.parametrize(
    ("clinics", "animals", "kept"),
    [
        ([3, 3, 3], [3, 9, 9], [0, 1, 2]),
        ([3, 2, 1], [9, 9, 9], [0]),
        ([3, 1, 4], [9, 9, 5], [0]),
        ([3, 3, 3], [2, 9, 8], [1]),
        ([3, None, None], [9, 9, 9], [0]),
        ([1], [50], []),
    ],
)
def test_the_floor_by_hand(clinics, animals, kept):
    """At least 3 clinics and 3 animals; a single row below takes the smallest other with it."""
    frame = pd.DataFrame({"row": range(len(clinics)), "clinics": clinics, "animals": animals})
    assert floor.above_floor(frame, 3, 3)["row"].tolist() == kept


def test_the_example_is_the_one_that_is_shipped(place):
    shutil.copy(EXAMPLE, place / "analyses" / "again.py")
    assert {module.TITLE for module in find(place)} == {"The first night in care"}
