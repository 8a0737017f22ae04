"""Questions that are answered: parameters, kept queries, formats, limits told, the nearest name."""

import io
import json
from contextlib import redirect_stdout

import asked
import duckdb
import pytest
from rich.console import Console
from typer.testing import CliRunner
from unsnag import cli
from unsnag.errors import Problem
from unsnag.share import saved
from unsnag.share.asking import Answer, Limits, ask
from unsnag.share.printing import as_parquet, print_table
from unsnag.share.refusals import refusal

LONGEST = """-- The longest stays of a kind of animal,
-- from $year on.

-- not of the description
select case_id, stay_days from public.cases
where species_code = $species and admission_year >= $year
order by stay_days desc limit 2
"""


@pytest.fixture(scope="module")
def place(tmp_path_factory):
    folder = asked.workspace(tmp_path_factory.mktemp("asked") / "network")
    (folder / "queries").mkdir()
    (folder / "queries" / "longest_stays.sql").write_text(LONGEST)
    return folder


def answer(place, sql, parameters=None, **limits):
    return ask(place / "out" / "public.duckdb", sql, parameters, Limits(seconds=20, **limits))


def run(place, *words):
    return CliRunner().invoke(cli.app, ["query", str(place), *words])


def told(place, sql, parameters=None):
    with pytest.raises(Problem) as caught:
        answer(place, sql, parameters)
    return str(caught.value).replace("\n", " ")


@pytest.mark.parametrize(
    "sql",
    [
        "select count(*) from public.cases",
        "select count(*) from cases",
        "select count(*) from pooled.public.cases",
        "with cases_of_mine as (from public.cases) select count(*) from cases_of_mine",
        "select count(*) from range(60)",
        "from (values (60))",
        "select * from (select count(*) from public.cases) where true -- a word; another",
    ],
)
def test_a_select_in_any_dress_is_answered(place, sql):
    assert answer(place, sql).rows == [(60,)]


def test_the_columns_and_their_words_can_be_asked(place):
    assert len(answer(place, "describe public.cases").rows) == 5
    assert answer(place, "select count(*) from duckdb_columns() where schema_name = 'public'").rows == [(9,)]


def test_values_are_bound_and_never_read_as_sql(place):
    sql = "select count(*) from public.cases where species_code = $species"
    assert answer(place, sql, {"species": "gull"}).rows == [(30,)]
    assert answer(place, sql, {"species": "' or true --"}).rows == [(0,)]


@pytest.mark.parametrize(
    ("sql", "parameters", "words"),
    [
        ("select $year", {}, "$year has no value. Give it one: --set year=…"),
        ("select $b, $a, $c", {}, "$a, $b and $c have no value. Give each one: --set a=… --set b=… --set c=…"),
        ("select $year::integer", {"year": "MMXX"}, "(the value of $year). Give another value: --set year=…"),
        ("select $day::date", {"day": "31/1/2024"}, "(the value of $day). Give another value: --set day=…"),
        ("select * from cases where year = 2023", None, "Did you mean 'admission_year' (in public.cases)?"),
        ("select zzz from release_rates", None,
         "The columns of public.release_rates are: grouping, numerator, denominator, percent."),
        ("select zzz from cases, release_rates", None, "The codebook lists every column"),
        ("select numeratr from cases, release_rates", None, "Did you mean 'numerator' (in public.release_rates)?"),
        ("select * from case where true", None, "Did you mean 'public.cases'? It stops here:   line 1: select"),
        ("select 1\nfrom cases\nwhere and x", None, "Mend the query here:   line 3: where and x                 ^^^"),
        ("copy cases to 'mine.csv'", None, "--format csv > rows.csv, or --format parquet > rows.parquet"),
        ("select * from 'mine.csv'", None, "the file 'mine.csv' is no table, and files are out of reach"),
        ("select * from read_csv('mine.csv')", None, "can be read in Python or R beside an extract"),
        ("select 1", {"year": 1}, "it has no $year. Leave --set away"),
        ("select $a", {"a": 1, "b": 2}, "it has no $b. Its parameters are: $a"),
        ("select * from public.casses", None, "no table 'public.casses' that you may ask. Did you mean 'public.cases'"),
        ("select * from relase_rates", None, "Did you mean 'public.release_rates'?"),
        ("select * from zzzzzz", None, "The tables are: public.cases, public.release_rates"),
        ("select stay_day from public.cases", None, "no column 'stay_day'"),
        ("select stay_day from public.cases", None, "Did you mean 'stay_days' (in public.cases)?"),
        ("select c.admision_year from public.cases c", None, "Did you mean 'admission_year' (in public.cases)?"),
        ("select medain(stay_days) from public.cases", None, "there is no function 'medain'"),
        ("select case_id + 1 from public.cases", None, "Mend the query"),
        ("select 1; select 2", None, "it is 2 statements, not one"),
    ],
)  # fmt: skip
def test_a_slip_is_told_with_the_nearest_name(place, sql, parameters, words):
    assert words in told(place, sql, parameters)


def test_a_column_of_several_tables_names_them_in_good_grammar():
    columns = {"public.a": ["stays"], "public.b": ["stays"], "public.c": ["stays"]}
    two = {name: columns[name] for name in ("public.a", "public.b")}
    message = 'Binder Error: Referenced column "stayz" not found'
    said = [refusal("BinderException", message, {"sql": ""}, tables).remedy for tables in (two, columns)]
    assert said == [
        "Did you mean 'stays' (in public.a and 1 other table)?",
        "Did you mean 'stays' (in public.a and 2 other tables)?",
    ]


WIDE = Answer(
    ["a_longer_heading", "animals", "share"],
    ["VARCHAR", "BIGINT", "DOUBLE"],
    [("gulls of the coast", 918, 12.75)],
)


def printed(found, width, is_terminal):
    stream = io.StringIO()
    with redirect_stdout(stream):
        print_table(found, Console(width=width, force_terminal=is_terminal, color_system=None))
    return stream.getvalue()


@pytest.mark.parametrize("width", range(30, 60))
def test_no_figure_and_no_heading_is_ever_cut(width):
    shown = printed(WIDE, width, is_terminal=True)
    assert "…" not in shown and all(len(line.rstrip()) <= width for line in shown.splitlines())
    for word in ("a_longer_heading", "animals", "share", "gulls", "coast", "918", "12.75"):
        assert word in shown.replace(":", " ").split(), shown
    assert ("--format csv" in " ".join(shown.split())) == (width < 32)  # 16, 7 and 5 letters, two gaps of 2


def test_what_is_piped_elsewhere_stands_on_one_line_each():
    heading, row = printed(WIDE, 20, is_terminal=False).splitlines()
    assert heading.split() == WIDE.names and row.split() == [
        "gulls",
        "of",
        "the",
        "coast",
        "918",
        "12.75",
    ]


def test_rows_beyond_the_limit_are_not_handed_out_and_that_is_said(place):
    found = answer(place, "select range from range(5000) order by 1", rows=2500)
    assert found.is_cut and [row[0] for row in found.rows] == list(range(2500))
    assert not answer(place, "select * from range(2500)", rows=2500).is_cut
    shown = run(place, "select * from range(9)", "--rows", "3", "--format", "csv")
    assert shown.exit_code == 0
    assert shown.stdout.split() == ["range", "0", "1", "2"] and "more rows than these 3" in shown.stderr


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("2024", 2024), ("-3", -3), ("1.5", 1.5), ("1e3", 1000.0), ("true", True), ("gull", "gull"), ("007", "007"),
        ("'2024'", "2024"), ("", ""), ("a=b", "a=b"), ("1_000", "1_000"), ("nan", "nan"),
    ],
)  # fmt: skip
def test_values_are_what_they_look_like(text, value):
    found = saved.parameters([f"x={text}"])
    assert found == {"x": value} and type(found["x"]) is type(value)


@pytest.mark.parametrize("pairs", [["x"], ["=1"], ["a b=1"], ["x=1", "x=2"]])
def test_a_pair_that_is_none_is_a_slip(pairs):
    with pytest.raises(Problem, match="--set"):
        saved.parameters(pairs)


def test_kept_queries_are_listed_with_their_words_and_asked_by_name(place):
    listed = run(place, "--list").output
    assert "longest_stays" in listed and "The longest stays of a kind of animal, from $year on." in " ".join(
        listed.split()
    )
    assert "not of the description" not in listed
    words = ["--saved", "longest_stays", "--set", "species=swan", "--set", "year=2021", "--format", "json"]
    rows = json.loads(run(place, *words).output)
    assert rows == [{"case_id": "c59", "stay_days": 59}, {"case_id": "c55", "stay_days": 55}]


def test_a_query_in_a_file_of_ones_own_is_asked(place, tmp_path):
    file = tmp_path / "mine.sql"
    file.write_text("select $day::date as day where date '2024-06-29' < $day")
    shown = run(place, "--file", str(file), "--set", "day=2024-06-30", "--format", "csv")
    assert shown.output.split() == ["day", "2024-06-30"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--saved", "longest_stay"], "Did you mean 'longest_stays'?"),
        (["--file", "nowhere.sql"], "this file is not there"),
    ],
)
def test_a_query_that_is_not_there_is_a_slip(place, words, said):
    shown = run(place, *words)
    assert shown.exit_code == 1 and said in shown.output.replace("\n", " ")


def test_one_question_at_a_time(place):
    assert run(place, "select 1", "--list").exit_code == 2
    assert run(place).exit_code == 2


def test_json_has_no_infinity_and_csv_writes_lists_as_json(place):
    sql = "select 'inf'::double as a, ['x', null] as b, true as c, null as d"
    assert json.loads(run(place, sql, "--format", "json").output) == [
        {"a": None, "b": ["x", None], "c": True, "d": None}
    ]
    assert run(place, sql, "--format", "csv").output.splitlines()[1] == 'inf,"[""x"", null]",true,'


def test_parquet_keeps_the_types(place, tmp_path):
    sql = "select 1::bigint as n, null::integer as e, date '2024-06-30' as d, 1.25::decimal(5,2) as x, ['a'] as l"
    path = tmp_path / "answer.parquet"
    path.write_bytes(as_parquet(answer(place, sql)))
    found = duckdb.sql(f"from '{path}'")
    assert list(map(str, found.types)) == ["BIGINT", "INTEGER", "DATE", "DECIMAL(5,2)", "VARCHAR[]"]
    assert [str(cell) for cell in found.fetchall()[0]] == ["1", "None", "2024-06-30", "1.25", "['a']"]


def test_the_private_store_is_asked_only_on_demand(place):
    assert run(place, "select finder from mart.cases", "--private").exit_code == 0
    assert run(place, "select finder from mart.cases").exit_code == 1


def test_an_empty_answer_has_its_columns(place):
    assert answer(place, "select 1 as x where false") == Answer(["x"], ["INTEGER"], [])
