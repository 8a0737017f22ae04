"""One way only: Python imports and SQL headers are read, and an arrow upwards is refused."""

import ast
import json
from functools import cache
from graphlib import TopologicalSorter
from pathlib import Path

import duckdb
import pytest
from conftest import CHECKOUT
from unsnag import models

PACKAGE = CHECKOUT / "pipeline" / "unsnag"
CHARTS = CHECKOUT / "dashboards" / "unsnag_charts"
# A room may read its own schema and those before it; these three are settings, open to all.
SCHEMAS = [
    "raw", "layout", "stage", "notes", "standard", "place", "link", "mart", "result", "withhold", "public", "feedback",
]  # fmt: skip
SETTINGS = {"codes", "clinic", "run"}
# What a room may import of ours, where it is less than "whatever does not lead back to it".
ONLY = {
    "stats": set(),
    "analyses": {"stats"},
    "errors": set(),
    "places": {"errors", "stats"},
    "resources": set(),
    "privacy": set(),
    "read": {"errors", "privacy"},
    "notes": {"errors", "resources"},
    "models": {"resources"},
    "databases": {"models"},
    "publish": {"databases", "models", "stats"},
    "report": {"databases", "errors", "privacy", "resources", "unsnag_charts"},
    "own": {"analyse", "databases", "errors"},
    "share": {"csv_text", "databases", "errors", "models", "report", "resources"},
}


def imported(path):
    """The dotted names that a file imports of ours."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (item.name for item in node.names)
        elif isinstance(node, ast.ImportFrom) and not node.level:
            whole = node.module == "unsnag"
            yield from (f"unsnag.{item.name}" for item in node.names) if whole else [node.module]


@cache
def rooms():
    """Room → the rooms that it imports. A room is a module or a folder of modules right under the package."""
    graph = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        room = path.relative_to(PACKAGE).parts[0].removesuffix(".py")
        parts = [name.split(".") for name in imported(path)]
        ours = {part[1] for part in parts if part[0] == "unsnag" and len(part) > 1}
        ours |= {part[0] for part in parts if part[0] == "unsnag_charts"}
        graph.setdefault(room, set()).update(ours - {room, "__version__"})
    return graph


def test_no_room_imports_one_that_leads_back_to_it():
    order = list(TopologicalSorter(rooms()).static_order())
    assert order.index("stats") < order.index("analyses") < order.index("run") < order.index("cli")


@pytest.mark.parametrize(("room", "allowed"), ONLY.items())
def test_a_room_imports_only_what_it_may(room, allowed):
    assert rooms()[room] - allowed == set()


def test_the_public_side_does_not_know_the_private_one():
    """Only public.* reaches out/: the report cannot even name the store, the workspace or the mart."""
    words = ("store/cases", "mart.", "stage.", "standard.", "raw.")
    for path in sorted((PACKAGE / "report").rglob("*.py")):
        code = [
            line
            for line in path.read_text(encoding="utf-8").splitlines()
            if not line.lstrip().startswith("#")
        ]
        assert [line for line in code if any(f" {word}" in line for word in words)] == [], path


def test_charts_import_nothing_of_the_pipeline():
    for path in sorted(CHARTS.rglob("*.py")):
        ours = [name for name in imported(path) if name.split(".")[0] == "unsnag"]
        assert set(ours) <= {"unsnag.resources"}, path


MODELS = models.find(models.SCHEMAS)
IDS = [model.name for model in MODELS]


def readable(schema):
    """The schemas that a model of this one may read."""
    if schema == "checks":
        return {*SETTINGS, *SCHEMAS[: SCHEMAS.index("mart") + 1]}
    below = set(SCHEMAS[: SCHEMAS.index(schema) + 1]) | SETTINGS
    return below | {"checks"} if schema in ("public", "feedback") else below


def parsed_tables(select):
    """The tables that a SELECT reads, as DuckDB parses it; names without a schema are its own steps."""
    with duckdb.connect() as connection:
        (text,) = connection.execute("select json_serialize_sql($1::varchar)", [select]).fetchone()
    tree = json.loads(text)
    assert not tree["error"], tree
    return {f"{node['schema_name']}.{node['table_name']}" for node in _tables(tree) if node["schema_name"]}


def _tables(node):
    if isinstance(node, dict):
        if node.get("type") == "BASE_TABLE":
            yield node
        node = list(node.values())
    if isinstance(node, list):
        for part in node:
            yield from _tables(part)


@pytest.mark.parametrize("model", MODELS, ids=IDS)
def test_the_header_names_the_tables_that_the_select_reads(model):
    assert set(model.origins) == parsed_tables(model.select)


@pytest.mark.parametrize("model", MODELS, ids=IDS)
def test_no_table_reads_one_above_it(model):
    assert {origin.partition(".")[0] for origin in model.origins} <= readable(model.schema)


def test_an_arrow_upwards_would_be_seen():
    assert "mart" not in readable("stage") and "public" not in readable("checks")
    assert parsed_tables(
        "with a as (from mart.cases where x = $x) select * from a join raw.files using (y)"
    ) == {
        "mart.cases",
        "raw.files",
    }


@pytest.mark.parametrize("model", MODELS, ids=IDS)
def test_a_file_is_one_select_with_a_header_and_under_80_lines(model):
    text = model.path.read_text(encoding="utf-8")
    assert len(text.splitlines()) < 80
    assert len(duckdb.extract_statements(model.select)) == 1
    assert duckdb.extract_statements(model.select)[0].type == duckdb.StatementType.SELECT
    assert model.description.endswith(".")
    assert (model.level and model.remedy) if model.schema == "checks" else model.key


def test_every_folder_of_sql_is_a_room():
    folders = {path.name for path in (CHECKOUT / "sql").iterdir() if path.is_dir()}
    assert folders == {*models.SCHEMAS, "codes"}


KEYED = [model for model in MODELS if model.key]


@pytest.mark.parametrize("model", KEYED, ids=[model.name for model in KEYED])
def test_keys_are_unique_and_not_null_on_the_demo(demo, model):
    columns = [f'"{column}"' for column in model.key]
    key, empty = ", ".join(columns), " or ".join(f"{column} is null" for column in columns)
    assert demo.one(f"select count(*) from {model.name} where {empty}") == 0
    assert demo.rows(f"select {key} from {model.name} group by {key} having count(*) > 1 limit 1") == []


def test_the_demo_has_rows_in_every_keyed_table(demo):
    """A key is proved only where there are rows; the comparison that the tests keep has no biased twin, five clinics no
    funnel."""
    empty = {model.name for model in KEYED if demo.one(f"select count(*) from {model.name}") == 0}
    assert empty <= {"public.effect_bias", "public.clinic_funnel"}


def test_python_files_stay_small():
    """The house's limit; a file that outgrows it is to be parted."""
    files = [*PACKAGE.rglob("*.py"), *CHARTS.rglob("*.py"), *Path(__file__).parent.glob("test_*.py")]
    long = {
        str(path.relative_to(CHECKOUT)) for path in files if len(path.read_text("utf-8").splitlines()) > 300
    }
    assert long == set()
