"""SQL files found, read, ordered and built: headers become comments, names become parameters."""

import csv

import duckdb
import networks
import pytest
from unsnag import models, resources

CASES = """
    -- One row per case, no more.
    -- key:  case_id
    -- from: stage.stays, codes.sex
    --
    -- A second paragraph that is not for the table's comment.
    --
    -- columns:
    --   case_id: the case, as the clinic's "own" number
    --   year: its year
    select case_id, $year as year from stage.stays where note <> '$5 paid; don''t'
    """
STAYS = """
    -- One row per stay.
    -- key:  case_id
    -- from: raw.stays
    select * from raw.stays
    """


@pytest.fixture
def sql(tmp_path, monkeypatch):
    """A folder sql/ of two models, the later room first in the alphabet of names."""
    networks.write_text(tmp_path / "4_mart" / "a_cases.sql", CASES)
    networks.write_text(tmp_path / "1_stage" / "stays.sql", STAYS)
    monkeypatch.setattr(resources, "folder", lambda name: tmp_path)
    return tmp_path


def test_a_header_is_read_into_parts(sql):
    (model,) = models.find(["4_mart"])
    assert (model.name, model.key, model.origins) == (
        "mart.a_cases",
        ("case_id",),
        ("stage.stays", "codes.sex"),
    )
    assert model.description == "One row per case, no more."
    assert model.columns == {"case_id": 'the case, as the clinic\'s "own" number', "year": "its year"}
    assert model.select.startswith("select case_id") and "--" not in model.select


def test_models_stand_behind_their_origins_whatever_their_names(sql):
    assert [model.name for model in models.find(["4_mart", "1_stage"])] == ["stage.stays", "mart.a_cases"]


def test_only_named_parameters_are_given(sql):
    (model,) = models.find(["4_mart"])
    assert model.parameters == {"year"}


def test_tables_are_built_in_order_with_their_comments(sql):
    with duckdb.connect() as connection:
        connection.execute("create schema raw")
        connection.execute("create table raw.stays as select 'a' as case_id, 'x' as note")
        built = []
        models.build(connection, models.find(["4_mart", "1_stage"]), {"year": 2024, "other": 1}, built.append)
        assert connection.execute("from mart.a_cases").fetchall() == [("a", 2024)]
        told = "select comment from duckdb_columns() where table_name = 'a_cases' and column_name = 'case_id'"
        assert connection.execute(told).fetchall() == [('the case, as the clinic\'s "own" number',)]
    assert built == ["stage.stays", "mart.a_cases"]


def test_a_quote_in_a_comment_is_no_end_of_it():
    with duckdb.connect() as connection:
        said = "the clinic's own; drop table x"
        assert connection.execute(f"select {models.literal(said)}").fetchone() == (said,)


def test_a_circle_of_models_is_refused(sql):
    networks.write_text(sql / "1_stage" / "stays.sql", STAYS.replace("raw.stays", "mart.a_cases"))
    with pytest.raises(ValueError, match="cycle"):
        models.find(["1_stage", "4_mart"])


def test_every_parameter_of_the_sql_files_is_a_setting(tmp_path):
    from unsnag import store
    from unsnag.workspace import load

    networks.write_network(tmp_path)
    networks.write_clinic(tmp_path, "north", "case_number,admission_date\n1,2023-01-01\n")
    known = set(store.parameters(load(tmp_path), None))
    asked = {name for model in models.find(models.SCHEMAS) for name in model.parameters}
    assert asked <= known


def test_codes_are_loaded_as_they_are_written():
    """Cell for cell what Python's own reader finds, so that no sign is taken for a comment or a quote."""
    with duckdb.connect() as connection:
        models.load_codes(connection)
        for path in sorted((resources.folder("sql") / "codes").glob("*.csv")):
            with path.open(encoding="utf-8", newline="") as stream:
                written = [tuple(cell or None for cell in row) for row in csv.reader(stream)]
            table = connection.execute(f"from codes.{path.stem}")
            assert [tuple(column[0] for column in table.description), *table.fetchall()] == written, path.stem
