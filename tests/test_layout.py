"""A clinic's own columns → the model's fields: nested lists, parents, odd names; columns that are not there."""

import json

import networks
import pytest
from unsnag import store
from unsnag.errors import UnsnagError
from unsnag.workspace import load

ANIMALS = [
    {
        "Nr": "T1",
        "in": "2023-01-01",
        "events": [
            {"type": "treatment", "what": "fluids", "day": "2023-01-02"},
            {"type": "xray", "what": "hook in place", "day": "2023-01-03"},
            {"type": "treatment", "what": "watch", "day": "2023-01-04"},
        ],
        "gear": [{"kind": "hook"}, {"kind": "line"}],
    },
    {"Nr": "T2", "in": "2023-02-01", "events": [], "gear": []},
]
JSON_LINES = """
    [[source]]
    name = "animals"
    files = "exports/*.jsonl"
    format = "json_lines"
    export_date = 2024-01-31
    [source.stay]
    case_number = "nr"
    admission_date = "IN"
    [[source.gear_item]]
    each = "gear"
    gear = "kind"
    [[source.procedure]]
    each = "events"
    where = { type = ["treatment"] }
    case_number = "..Nr"
    procedure = "what"
    procedure_date = "day"
    [[source.finding]]
    each = "events"
    where = { type = ["xray"] }
    finding = "what"
    finding_date = "day"
    [[source.finding]]
    finding = { constant = "worse" }
    finding_date = "..worse on"
    """


@pytest.fixture(scope="module")
def nested(tmp_path_factory):
    folder = networks.write_network(tmp_path_factory.mktemp("nested"))
    toml = JSON_LINES[: JSON_LINES.rindex("[[source.finding]]")]
    networks.write_text(folder / "clinics" / "north" / "clinic.toml", toml)
    lines = "".join(json.dumps(animal) + "\n" for animal in ANIMALS)
    networks.write_text(folder / "clinics" / "north" / "exports" / "animals.jsonl", lines)
    return networks.build(folder)


def test_column_names_match_without_case(nested):
    assert nested.values("select case_number, admission_date::varchar from layout.stays") == {
        "T1": "2023-01-01",
        "T2": "2023-02-01",
    }


def test_objects_of_a_nested_list_become_records_of_their_parent(nested):
    items = nested.rows("select gear, item_number from layout.gear_items order by item_number")
    assert [gear for gear, _ in items] == ["hook", "line"]
    told = nested.rows("select stay_id, gear from stage.gear_items order by item_number")
    assert told == [("north:T1", "hook"), ("north:T1", "line")]


def test_where_takes_only_those_objects_and_the_parents_keys_are_there(nested):
    procedures = nested.rows("select case_number, procedure from layout.procedures order by item_number")
    assert procedures == [("T1", "fluids"), ("T1", "watch")]
    assert nested.rows("select finding from layout.findings") == [("hook in place",)]


def one_clinic(folder, text, **how):
    networks.write_network(folder)
    networks.write_clinic(folder, "north", text, **how)
    return folder


def test_a_name_with_quotes_and_semicolons_is_only_a_name(tmp_path):
    strange = 'in"; drop table raw.files; --'
    text = f'case_number,"{strange.replace(chr(34), chr(34) * 2)}"\n1,2023-01-01\n'
    built = networks.build(one_clinic(tmp_path, text, cells=f"admission_date = '{strange}'"))
    assert built.rows("select admission_date::varchar from stage.stays") == [("2023-01-01",)]


def test_a_block_of_constants_and_empty_cells_is_no_record(tmp_path):
    blocks = '[[source.finding]]\nfinding = { constant = "worse" }\nfinding_date = "worse on"\n'
    text = "case_number,admission_date,worse on\n1,2023-01-01,\n2,2023-01-01,2023-01-05\n"
    built = networks.build(one_clinic(tmp_path, text, blocks=blocks))
    assert built.rows("select stay_id, finding from stage.findings") == [("north:2", "worse")]


def test_a_column_that_is_not_there_is_said_with_the_nearest_name(tmp_path):
    text = "case_number,admission_date,Species found\n1,2023-01-01,gull\n"
    folder = one_clinic(tmp_path, text, cells='species = "Specie found"\nsex = "Zonk"')
    with pytest.raises(UnsnagError) as caught:
        store.build(load(folder))
    said = str(caught.value)
    assert "north, source stays: the exports have no column 'Specie found'" in said
    assert "Did you mean 'Species found'?" in said and "clinics/north/clinic.toml" in said
    assert "no column 'Zonk'" in said


def test_a_clinic_that_cannot_be_read_is_left_out_whole_and_named(tmp_path):
    text = "case_number,admission_date\n1,2023-01-01\n"
    folder = one_clinic(tmp_path, text)
    networks.write_clinic(folder, "south", text, cells='species = "Specie"')
    networks.write_clinic(folder, "north_by_east", text)
    built = store.build(load(folder))
    assert [problem.who.partition(",")[0] for problem in built.problems] == ["south"]
    left = networks.Built(folder)
    assert left.rows("select clinic from clinic.missing") == [("south",)]
    clinics = left.rows(
        "select distinct clinic from layout.stays union select clinic from raw.files order by 1"
    )
    assert clinics == [("north",), ("north_by_east",)]


def test_all_sources_of_a_clinic_tell_their_problems_at_once(tmp_path):
    sheets = {"procedure": "case_number,procedure\n1,fluids\n"}
    folder = one_clinic(tmp_path, "case_number,admission_date\n1,2023-01-01\n", sheets=sheets)
    for path in (folder / "clinics" / "north" / "exports").rglob("*.csv"):
        path.unlink()
    with pytest.raises(UnsnagError) as caught:
        store.build(load(folder))
    assert "source stays" in str(caught.value) and "source procedure" in str(caught.value)
