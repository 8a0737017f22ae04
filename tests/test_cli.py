"""Every command: help, an example that works when pasted, exit codes 0, 1 and 2, and never a traceback."""

import csv
import io
import json
import shlex
import shutil

import duckdb
import networks
import pytest
from conftest import INPUTS
from typer.testing import CliRunner
from unsnag import cli, resources, terminal

COMMANDS = {command.name or command.callback.__name__: command for command in cli.app.registered_commands}
SMALL = """
    case_number,admission_date,species,cause,injury,gear,body_site,outcome,outcome_date
    1,2023-01-01,gull,fish hook,ingested,hook,stomach,released,2023-01-09
    2,2023-02-01,gull,fish hook,embedded,hook,wing,died,2023-02-02
    3,2023-03-01,gull,zonked,,,,pending,
    """


@pytest.fixture
def unsnag(monkeypatch):
    """Run a command line in a wide terminal; an exception that is no exit fails the test."""
    monkeypatch.setenv("COLUMNS", "200")
    monkeypatch.setattr(terminal.out, "width", 200)
    monkeypatch.setattr(terminal.err, "width", 200)

    def run(line):
        result = CliRunner().invoke(cli.app, shlex.split(line))
        if result.exception and not isinstance(result.exception, SystemExit):
            raise result.exception
        assert "Traceback" not in result.output
        return result

    return run


@pytest.fixture
def small(tmp_path, monkeypatch):
    """A small workspace, not built yet, in the current folder under the name that the examples use."""
    monkeypatch.chdir(tmp_path)
    folder = networks.write_network(tmp_path / "our-network", "[publication]\nminimum_clinics = 1\n")
    networks.write_clinic(folder, "north", SMALL)
    return folder


@pytest.fixture(scope="module")
def published(demo, tmp_path_factory):
    """The demo's folder, which these tests only ask."""
    return demo.folder


def test_check_says_how_many_rows_a_source_leaves_out(unsnag, small):
    only = 'export_date = 2024-01-31\ndate_order = "ymd"\nonly = { outcome = ["died"] }'
    networks.write_clinic(small, "south", SMALL, settings=only)
    said = unsnag("check our-network").output
    assert "south, source stays: only leaves out 2 of 3 rows." in said
    assert "north, source" not in said


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_has_help_and_an_example(unsnag, name):
    shown = unsnag(f"{name} --help")
    assert shown.exit_code == 0
    assert COMMANDS[name].callback.__doc__.splitlines()[0].rstrip(".") in shown.output.replace("\n", " ")
    assert COMMANDS[name].epilog.startswith(f"Example: unsnag {name}")


@pytest.fixture(scope="module")
def pasted(demo, tmp_path_factory):
    """A home folder with the demo as 'our-network' and an export to add, as the examples suppose."""
    home = tmp_path_factory.mktemp("home")
    shutil.copytree(demo.folder, home / "our-network")
    export = "case no,in,species,outcome\nS1,1/2/2024,gull,released\n"
    networks.write_text(home / "Downloads" / "seal_bay_2024-07-05.csv", export)
    return home


@pytest.mark.parametrize("name", COMMANDS)
def test_the_example_works_when_pasted(unsnag, pasted, monkeypatch, name):
    monkeypatch.chdir(pasted)
    monkeypatch.setenv("HOME", str(pasted))
    demo_inputs(pasted, monkeypatch)
    line = COMMANDS[name].epilog.removeprefix("Example: unsnag ")
    # The demo of the tests keeps one planned comparison, not the one of the example.
    line = line.replace("swallowed_hook_turtle", "endoscopy_or_surgery_first").replace("~", str(pasted))
    shown = unsnag(line)
    assert shown.exit_code == 0, shown.output
    assert shown.output.strip()


def demo_inputs(home, monkeypatch):
    """`unsnag demo` copies this demo: the shipped one with one planned comparison, so that it takes seconds."""
    origin = home / "origin"
    if not origin.exists():
        origin.mkdir()
        for part in INPUTS:
            source = home / "our-network" / part
            (shutil.copytree if source.is_dir() else shutil.copy)(source, origin / part)
    shipped = resources.folder
    monkeypatch.setattr(
        cli.resources, "folder", lambda name: origin if name == "data_demo" else shipped(name)
    )


def test_the_version_is_printed(unsnag):
    from unsnag import __version__

    assert unsnag("--version").output.strip() == __version__


def test_a_run_makes_what_it_says_and_says_what_it_made(unsnag, small):
    shown = unsnag("run our-network")
    assert shown.exit_code == 0, shown.output
    for made in ("store/cases.duckdb", "out/public.duckdb", "out/2023/report.html", "out/2023/manifest.json"):
        assert made in shown.output and (small / made).is_file()
    assert "3 records in 1 files of 1 clinics are 3 stays, 3 cases, 2 of them" in shown.output
    assert "as of 2024-01-31" in shown.output and "BROKEN" not in shown.output
    assert "1 words have no code" in shown.output


def test_the_steps_can_be_taken_one_by_one(unsnag, small):
    assert unsnag("build our-network").exit_code == 0
    shown = unsnag("analyse our-network")
    assert shown.exit_code == 0 and "release_rates" in shown.output
    assert (small / "out" / "public.duckdb").is_file()


def test_check_prints_the_rows_to_paste(unsnag, small):
    shown = unsnag("check our-network")
    assert shown.exit_code == 0
    assert "\ncause,zonked," in shown.output and "clinics/north/terms.csv" in shown.output


def test_a_long_row_to_paste_is_not_broken_in_two(unsnag, small, monkeypatch):
    monkeypatch.setattr(terminal.out, "width", 60)
    word = "a very long word " * 8
    networks.write_clinic(small, "north", SMALL.replace("zonked", word))
    assert f"\ncause,{word.strip()}," in unsnag("check our-network").output


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("run nowhere", "network.toml is missing"),
        ("report our-network", "First run: unsnag analyse"),
        ("analyse our-network", "First run: unsnag build"),
        ('query our-network "select 1"', "First run: unsnag run"),
    ],
)
def test_a_step_without_the_one_before_says_which_to_run_first(unsnag, small, line, said):
    shown = unsnag(line)
    assert shown.exit_code == 1
    assert said in shown.output.replace("\n", " ")


@pytest.mark.parametrize(
    "line",
    [
        "run",
        "zonk",
        "run our-network --year soon",
        "run our-network --as-of 31.1.2024",
        "query our-network",
        'query our-network "select 1" --format xml',
        "run our-network --zonk",
    ],
)
def test_wrong_usage_exits_with_2(unsnag, small, line):
    assert unsnag(line).exit_code == 2


def test_a_slip_exits_with_1_and_names_file_and_key(unsnag, small):
    toml = small / "clinics" / "north" / "clinic.toml"
    toml.write_text(toml.read_text().replace("case_number", "case_numbr"))
    shown = unsnag("run our-network")
    assert shown.exit_code == 1
    assert "clinic.toml" in shown.output and "Did you mean 'case_number'?" in shown.output


def test_a_clinic_that_cannot_be_read_exits_with_1_and_the_rest_is_built(unsnag, small):
    networks.write_clinic(small, "south", SMALL, cells='sex = "zonk"')
    shown = unsnag("build our-network")
    assert shown.exit_code == 1 and "no column 'zonk'" in shown.output
    assert networks.Built(small).rows("select clinic from clinic.missing") == [("south",)]


def test_a_folder_with_other_things_is_not_turned_into_a_demo(unsnag, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    networks.write_text(tmp_path / "things" / "diary.txt", "mine")
    shown = unsnag("demo things")
    assert shown.exit_code == 1 and "Name another folder" in shown.output
    assert [path.name for path in (tmp_path / "things").iterdir()] == ["diary.txt"]


def ask(unsnag, folder, sql, *options):
    shown = unsnag(shlex.join(["query", str(folder), sql, *options]))
    assert shown.exit_code == 0, shown.output
    return shown


RATES = (
    "select group_code, numerator, percent, is_headline, note from public.release_rates "
    "where grouping = 'severity' and is_headline order by all"
)


def test_query_hands_out_csv_with_whole_numbers_and_empty_nulls(unsnag, published):
    rows = list(csv.reader(io.StringIO(ask(unsnag, published, RATES, "--format", "csv").output)))
    assert rows[0] == ["group_code", "numerator", "percent", "is_headline", "note"]
    assert len(rows) > 3
    assert all(row[1] == "" or row[1].isdigit() for row in rows[1:])
    assert {row[3] for row in rows[1:]} == {"true"}


def test_query_hands_out_json_with_the_same_rows(unsnag, published):
    records = json.loads(ask(unsnag, published, RATES, "--format", "json").output)
    text = ask(unsnag, published, RATES, "--format", "csv").output
    rows = list(csv.DictReader(io.StringIO(text)))
    assert [record["group_code"] for record in records] == [row["group_code"] for row in rows]
    assert [record["numerator"] for record in records] == [int(row["numerator"] or 0) or None for row in rows]


def test_query_hands_out_parquet_with_the_columns_types(unsnag, published, tmp_path):
    path = tmp_path / "rates.parquet"
    path.write_bytes(ask(unsnag, published, RATES, "--format", "parquet").stdout_bytes)
    relation = duckdb.sql(f"from '{path}'")
    assert list(map(str, relation.types)) == ["VARCHAR", "BIGINT", "DOUBLE", "BOOLEAN", "VARCHAR"]
    assert len(relation.fetchall()) > 3


def test_query_prints_a_table_and_takes_signs_as_they_are(unsnag, published):
    assert "[bold]x[/bold]" in ask(unsnag, published, "select '[bold]x[/bold]' as \"[a]\"").output


@pytest.mark.parametrize(
    "sql",
    [
        "drop table public.cases",
        "create table x as select 1",
        "update public.cases set clinic = 'A'",
        "copy public.cases to 'stolen.csv'",
        "select * from read_csv('our-network/clinics/north/clinic.toml')",
        "select * from 'store/cases.duckdb'",
        "attach 'store/cases.duckdb' as store",
        "set enable_external_access = true",
        "select 1; select 2",
        "select nothing from nowhere",
        "selec 1",
        "",
        "install httpfs",
        "select * from mart.cases",
    ],
)
def test_query_refuses_in_a_sentence(unsnag, published, tmp_path, monkeypatch, sql):
    monkeypatch.chdir(published)
    shown = unsnag(shlex.join(["query", ".", sql]))
    assert shown.exit_code == 1
    assert "That did not work." in shown.output and not (published / "stolen.csv").exists()


def test_private_questions_go_to_the_store(unsnag, published):
    shown = ask(unsnag, published, "select count(*) as n from mart.cases", "--private", "--format", "csv")
    assert int(shown.output.split()[1]) > 100
