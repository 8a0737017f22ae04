"""What is private is never written: not to raw.*, not to a temporary file, not to a message."""

import json
from pathlib import Path

import pytest
from read_layouts import Clinic
from unsnag.errors import Problem, Problems
from unsnag.read import reading

SECRET = "Ada Wennamere"
CSV = (
    f'id,Finder,note,kind\n1,{SECRET},"call 0412 345 678",wild\n2,"{SECRET}",x,pet\n3,{SECRET},x,wild,more\n'
)


@pytest.fixture
def clinic(tmp_path):
    return Clinic(tmp_path)


def everything(clinic: Clinic) -> str:
    tables = clinic.connection.execute("select table_name from information_schema.tables").fetchall()
    return "".join(
        str(clinic.connection.execute(f'select * from raw."{name}"').fetchall()) for (name,) in tables
    )


def spied(monkeypatch, tmp_path: Path) -> list[bytes]:
    """What temporary files hold at the moment when they are loaded; they are made in a folder of the test's own."""
    seen: list[bytes] = []
    load = reading._load

    def look_and_load(connection, layout, read, first_file_id):
        paths = [clean.path for file in read for clean in file.clean.values()]
        seen.extend(path.read_bytes() for path in paths)
        assert {path.parent.stat().st_mode & 0o077 for path in paths} == {0}
        load(connection, layout, read, first_file_id)

    monkeypatch.setattr(reading, "_load", look_and_load)
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    return seen


def test_a_private_column_reaches_no_table_and_no_temporary_file(clinic, monkeypatch, tmp_path):
    clinic.put("a.csv", CSV)
    seen = spied(monkeypatch, tmp_path)
    clinic.read(private=(" finder ",), only={"kind": ("wild",)})
    assert "wild" in everything(clinic)
    assert b"wild" in seen[0]
    assert SECRET not in everything(clinic)
    assert SECRET.encode() not in b"".join(seen)
    assert b"0412" not in b"".join(seen)


def test_the_temporary_folder_is_removed(clinic, monkeypatch, tmp_path):
    clinic.put("a.csv", CSV)
    spied(monkeypatch, tmp_path)
    clinic.read()
    assert [path.name for path in tmp_path.iterdir()] == ["clinics"]


def test_the_temporary_folder_is_removed_after_an_error_too(clinic, monkeypatch, tmp_path):
    clinic.put("a.csv", CSV + '4,"open')
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    with pytest.raises(Problem):
        clinic.read()
    assert [path.name for path in tmp_path.iterdir()] == ["clinics"]


def test_a_private_column_may_be_filtered_by(clinic):
    clinic.put("a.csv", CSV)
    assert clinic.read(private=("kind", "finder"), only={"kind": ("pet",)}) == [{"id": "2", "note": "x"}]


def test_contact_details_go_from_all_columns_but_plain_ones(clinic):
    clinic.put("a.csv", "id,note\n0412345678,0412345678\n")
    assert clinic.read(plain_columns=frozenset({"ID"})) == [{"id": "0412345678", "note": "[removed]"}]


def test_long_cells_are_searched_too(clinic):
    clinic.put("a.csv", f"note,b\n{'word ' * 200}0412 345 678,1\n")
    assert clinic.read()[0]["note"].endswith("word [removed]")


def test_a_private_name_that_no_file_has_stops_the_reading(clinic):
    clinic.put("a.csv", CSV)
    with pytest.raises(Problem, match="no file has the private column 'Findr'"):
        clinic.read(private=("Findr", "note"))
    assert clinic.connection.execute("select count(*) from information_schema.tables").fetchone() == (0,)


def test_a_private_column_may_be_missing_from_some_files(clinic):
    clinic.put("a.csv", CSV)
    clinic.put("b.csv", "id,note\n4,y\n")
    assert [row["id"] for row in clinic.read(private=("finder",))] == ["1", "2", "4"]


RECORD = {
    "id": 1,
    "finder": {"name": SECRET, "town": "Reef"},
    "events": [{"type": "xray", "vet": SECRET, "seen by": {"name": SECRET}}],
    "people": [{"name": SECRET, "vet": SECRET, "role": "finder"}],
}


@pytest.mark.parametrize("vet", ["vet", "events.vet"])
@pytest.mark.parametrize("finder", ["finder", "finder.name"])
def test_private_keys_are_dropped_at_every_depth(clinic, vet, finder, monkeypatch, tmp_path):
    clinic.put("a.jsonl", json.dumps(RECORD))
    seen = spied(monkeypatch, tmp_path)
    private = (finder, vet, "events.seen by", "people.name")
    clinic.read(format="json_lines", nested=("events",), private=private)
    assert "xray" in everything(clinic)
    assert SECRET not in everything(clinic)
    assert SECRET.encode() not in b"".join(seen)


def test_a_bare_private_key_is_dropped_from_lists_kept_as_text(clinic):
    clinic.put("a.jsonl", json.dumps({"id": 1, "name": "x", "people": [{"Name": SECRET, "role": "finder"}]}))
    assert clinic.read(format="json_lines", private=("name",)) == [
        {"id": "1", "people": '[{"role": "finder"}]'}
    ]


def test_contact_details_go_from_nested_lists_but_plain_columns(clinic):
    event = {"note": "0412345678", "date": "0412345678"}
    clinic.put("a.jsonl", json.dumps({"id": 1, "events": [event]}))
    clinic.read(format="json_lines", nested=("events",), plain_columns=frozenset({"id", "events.date"}))
    (row,) = clinic.rows("reef__intakes__events")
    assert (row["note"], row["date"]) == ("[removed]", "0412345678")


def test_a_private_key_of_a_list_that_is_still_empty_is_no_slip(clinic):
    clinic.put("a.jsonl", json.dumps({"id": 1, "events": []}))
    assert clinic.read(format="json_lines", nested=("events",), private=("events.vet",)) == [{"id": "1"}]


def test_no_message_repeats_a_cell(clinic):
    clinic.put("a.csv", CSV)
    clinic.put("b.csv", f'id,Finder,note,kind\n1,"{SECRET}')
    clinic.put("c.csv", f"id,Finder,note,kind\n1,{SECRET},\x81,x\n".encode("latin-1"))
    with pytest.raises(Problems) as caught:
        clinic.read()
    assert SECRET not in str(caught.value)
