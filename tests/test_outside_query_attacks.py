"""Whatever is asked, the store keeps every byte, the answer ends in time, and a refusal is one sentence with exit 1."""

import hashlib
import shlex
import time

import asked
import duckdb
import pytest
from typer.testing import CliRunner
from unsnag import cli
from unsnag.errors import Problem
from unsnag.share import child
from unsnag.share.asking import Limits, ask, columns_of
from unsnag.share.refusals import refusal

SHORT = Limits(seconds=1, megabytes=1024, rows=100)
SECRET = "invented-secret-of-the-environment"

CHANGES = [
    "insert into public.cases values ('x', 1, 'y', 2, true)",
    "update public.cases set stay_days = 0",
    "delete from public.cases",
    "drop table public.cases",
    "alter table public.cases add column x int",
    "truncate public.cases",
    "create table x as select 1",
    "create or replace temp table x as select 1",
    "create view x as select 1",
    "create macro f(a) as a",
    "create secret s (type s3, key_id 'a', secret 'b')",
    "comment on table public.cases is 'x'",
    "vacuum",
    "checkpoint",
    "begin; delete from public.cases; commit",
    "merge into public.cases using (select 1) as s on false when not matched then insert default values",
]
FILES = [
    "copy public.cases to 'stolen.csv'",
    "copy (select 1) to '/dev/stdout'",
    "copy public.cases from 'network.toml'",
    "copy from database pooled to memory",
    "export database 'stolen'",
    "import database 'stolen'",
    "attach 'store/cases.duckdb' as s",
    "attach ':memory:' as s",
    "detach pooled",
    "use memory",
    "select * from read_csv('network.toml')",
    "select * from read_csv_auto('network.toml')",
    "select * from sniff_csv('network.toml')",
    "select * from read_text('network.toml')",
    "select * from read_blob('decisions/pseudonyms.key')",
    "select * from read_json('network.toml')",
    "select * from read_parquet('x.parquet')",
    "select * from parquet_metadata('x.parquet')",
    "select * from read_duckdb('store/cases.duckdb')",
    "select * from glob('**')",
    "select * from 'network.toml'",
    "select * from 'store/cases.duckdb'",
    'select * from "network.toml"',
    "select * from 'file:///etc/passwd'",
    "select * from read_text('file:///etc/passwd')",
    "select * from read_csv('https://example.org/x.csv')",
    "select * from 's3://bucket/x.parquet'",
    "select (select content from read_text('network.toml'))",
    "with x as (from read_text('network.toml')) select * from x",
    "describe 'network.toml'",
    "summarize from read_text('network.toml')",
    "select * from public.cases where case_id in (select content from read_text('network.toml'))",
    "select * from system.main.read_text('network.toml')",
    "select 1 union all select content from read_text('network.toml')",
    "select * from (pivot read_csv('network.toml') on x in (1) using count(*))",
]
SETTINGS = [
    "install httpfs",
    "load httpfs",
    "force install httpfs from community",
    "set enable_external_access = true",
    "set lock_configuration = false",
    "set memory_limit = '100GB'",
    "reset enable_external_access",
    "reset memory_limit",
    "set variable x = 1",
    "pragma enable_profiling",
    "pragma database_list",
    "pragma table_info('public.cases')",
    "call pragma_version()",
    "call enable_logging()",
    "select * from enable_logging()",
    "select * from force_checkpoint()",
    "prepare p as select 1",
    "execute p",
    "explain analyze select 1",
    "select * from duckdb_settings()",
    "select * from duckdb_settings",
    "select * from duckdb_secrets()",
    "select * from system.main.duckdb_secrets",
    "select * from duckdb_databases()",
    "select * from pragma_database_list",
    "select * from pragma_storage_info('public.cases')",
    "select * from sqlite_master",
    "select current_setting('temp_directory')",
    "select getvariable('x')",
    "select getenv('SECRET_OF_TEST')",
    "select getenv(n) from (values ('SECRET_OF_TEST')) as t (n)",
    "select * from which_secret('s3://x', 's3')",
]
PRIVATE = [
    "select * from mart.cases",
    "select * from pooled.mart.cases",
    "select * from store.mart.cases",
    "select * from raw.files",
    "select (select max(finder) from mart.cases)",
    "with mart as (select 1) select * from mart.cases",
    "with duckdb_secrets as (select 1) select * from duckdb_secrets",
    "select * from query('select * from mart.cases')",
    "select * from query('select 1')",
    "select * from query_table('mart.cases')",
    "select * from query_table(['public.cases'])",
    "select * from json_execute_serialized_sql(json_serialize_sql('select 1'))",
]
MEMORY_OF_PYTHON = [
    "select * from pandas_scan(1)",
    "select * from arrow_scan(1, 2, 3)",
    "select * from arrow_scan_dumb(1::ubigint::pointer, 2::ubigint::pointer, 3::ubigint::pointer)",
    "select * from python_map_function(1, 2)",
    "select * from SHORT",
    "select * from asked",
]
TRICKS = [
    "",
    ";",
    "-- only words",
    "select 1; select 2",
    "select 1; drop table public.cases",
    "select 1 /* ; */ ; copy public.cases to 'stolen.csv' --",
    "/* select 1 */ drop table public.cases",
    "--\ndrop table public.cases",
    "select 1 -- \n; delete from public.cases",
    "\ufeffdrop table public.cases",
    "sel/**/ect 1",
    "select '",
    "select \x00 1",
    "pivot public.cases on species_code using count(*)",
    "show tables",
    "selec 1",
    "select write_log('x')",
    "select " + "(" * 3000 + "1" + ")" * 3000,
]
BOMBS = [
    "select repeat('a', 2000000000)",
    "select length(repeat('a', 2000000000))",
    "select repeat(repeat('a', 100000), 100000)",
    "select list(range) from range(1000000000)",
    "select range(0, 4000000000)",
    "select string_agg(repeat('a', 1000000)) from range(100000)",
    "select count(*) from range(1000000000) as a, range(1000000000) as b where a.range + b.range = -1",
    "select count(*) from public.cases a, public.cases b, public.cases c, public.cases d, public.cases e, "
    "public.cases g where hash(a.stay_days + b.stay_days + c.stay_days + d.stay_days + e.stay_days) = hash(g.case_id)",
    "with recursive t(n) as (select 1 union all select n + 1 from t) select max(n) from t",
    "with recursive t(n) as (select 1 union all select n from t) select count(*) from t",
    "with recursive t(n) as (select 'a' union all select n || n from t) select max(length(n)) from t",
    "select * from range(100000000000) order by random()",
    "select sleep_ms(60000)",
]


@pytest.fixture(scope="module")
def place(tmp_path_factory):
    return asked.workspace(tmp_path_factory.mktemp("asked") / "network")


def bytes_of(place):
    """File → hash of everything in the workspace: nothing may change, nothing may come."""
    return {
        path: hashlib.sha256(path.read_bytes()).hexdigest() for path in place.rglob("*") if path.is_file()
    }


def refused(place, sql, limits=SHORT):
    """The refusal of a question, within its time and with the workspace's bytes as they were."""
    before, begin = bytes_of(place), time.monotonic()
    with pytest.raises(Problem) as caught:
        ask(place / "out" / "public.duckdb", sql, limits=limits)
    assert time.monotonic() - begin < limits.seconds + 3
    assert bytes_of(place) == before
    return caught.value


@pytest.fixture(scope="module")
def respond(place):
    """What the child says to a question, in this process: starting one for each attack would take minutes."""
    path = place / "out" / "public.duckdb"
    columns = columns_of(path, all_schemas=False)
    usual = {
        "path": str(path),
        "schemas": ["public"],
        "tables": list(columns),
        "parameters": {},
        **vars(SHORT),
    }
    lines = []

    def said(sql):
        lines.clear()
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(child, "_say", lines.append)
            child.respond(usual | {"sql": sql})
        (line,) = lines
        return refusal(line["refused"], line["what"], usual | {"sql": sql}, columns)

    return said


@pytest.mark.parametrize("sql", CHANGES + FILES + SETTINGS + PRIVATE + MEMORY_OF_PYTHON + TRICKS)
def test_an_attack_is_refused_in_one_sentence(place, respond, monkeypatch, sql):
    monkeypatch.chdir(place)
    monkeypatch.setenv("SECRET_OF_TEST", SECRET)
    before = bytes_of(place)
    said = respond(sql)
    assert bytes_of(place) == before
    assert said.who == "the query" and said.what and said.remedy
    assert "\n" not in said.what and SECRET not in str(said) and "Traceback" not in str(said)


@pytest.mark.parametrize("sql", [CHANGES[3], FILES[18], SETTINGS[5], PRIVATE[0], TRICKS[4], TRICKS[-1]])
def test_a_process_of_its_own_refuses_alike(place, monkeypatch, sql):
    monkeypatch.chdir(place)
    assert refused(place, sql).who == "the query"


@pytest.mark.parametrize("sql", BOMBS)
def test_a_bomb_ends_within_the_limits(place, sql):
    said = refused(place, sql)
    words = ("took longer", "needs more than", "too much text", "reaches beyond", "create a string of size")
    assert any(word in said.what for word in words), said


def test_the_command_refuses_with_exit_1_and_no_traceback(place, monkeypatch):
    monkeypatch.chdir(place)
    shown = CliRunner().invoke(cli.app, ["query", ".", "select * from read_text('network.toml')"])
    assert shown.exit_code == 1
    assert "the function 'read_text' reaches beyond the tables" in shown.output.replace("\n", " ")
    assert "Traceback" not in shown.output


def test_the_command_stops_a_question_at_its_time_limit(place):
    line = shlex.join(["query", str(place), BOMBS[8], "--seconds", "1"])
    shown = CliRunner().invoke(cli.app, shlex.split(line))
    assert shown.exit_code == 1 and "longer than 1 seconds" in shown.output.replace("\n", " ")


# Of these the second fence alone need know nothing: they stay inside the child's own memory.
INSIDE = (
    "copy from database pooled to memory",
    "attach ':memory:' as s",
    "use memory",
    "copy (select 1) to '/dev/stdout'",
)


@pytest.mark.parametrize("sql", [sql for sql in CHANGES[:6] + FILES + SETTINGS[:8] if sql not in INSIDE])
def test_the_connection_alone_refuses_too(place, monkeypatch, sql):
    """Two fences: were a name overlooked by the first, nothing is behind the second."""
    monkeypatch.chdir(place)
    before = bytes_of(place)
    request = {"path": str(place / "out" / "public.duckdb"), "schemas": ["public"], "megabytes": 1024}
    with child.connection_to(duckdb, request) as connection, pytest.raises(duckdb.Error):
        connection.execute(sql).fetchall()
    assert bytes_of(place) == before
