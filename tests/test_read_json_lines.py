"""JSON Lines: flat columns from nested objects, one more table for each declared list."""

import json

import pytest
from read_layouts import Clinic


@pytest.fixture
def clinic(tmp_path):
    return Clinic(tmp_path)


def lines(*objects) -> str:
    return "".join(json.dumps(item) + "\n" for item in objects)


def test_objects_are_flattened_and_keys_united(clinic):
    clinic.put(
        "a.jsonl",
        lines({"id": 1, "place": {"name": "Pier", "at": {"lat": -27.5}}}, {"id": 2, "x": None, "y": ""}),
    )
    rows = clinic.read(format="json_lines")
    assert rows == [{"id": "1", "place.name": "Pier", "place.at.lat": "-27.5"}, {"id": "2"}]
    assert [*clinic.rows()[0]][2:] == ["id", "place.name", "place.at.lat", "x", "y"]


def test_numbers_keep_their_digits_and_take_the_decimal_sign(clinic):
    clinic.put("a.jsonl", '{"a": 1.50, "b": 12345678901234567890, "c": true, "d": NaN, "e": "1.5"}\n')
    assert clinic.read(format="json_lines", decimal=",") == [
        {"a": "1,50", "b": "12345678901234567890", "c": "true", "e": "1.5"}
    ]


def test_a_declared_list_becomes_a_table_with_row_and_item(clinic):
    events = [{"type": "xray", "by": {"name": "V"}}, {"type": "line cut"}]
    clinic.put(
        "a.jsonl", lines({"id": 1, "events": events}, {"id": 2}, {"id": 3, "events": [{"type": "swim"}]})
    )
    assert clinic.read(format="json_lines", nested=("events",)) == [{"id": "1"}, {"id": "2"}, {"id": "3"}]
    assert [tuple(row.values()) for row in clinic.rows("reef__intakes__events")] == [
        (1, 1, 1, "xray", "V"),
        (1, 1, 2, "line cut", None),
        (1, 3, 1, "swim", None),
    ]


def test_the_lists_of_records_left_out_are_left_out_too(clinic):
    clinic.put(
        "a.jsonl", lines({"id": 1, "kind": "pet", "events": [{"type": "a"}]}, {"id": 2, "kind": "wild"})
    )
    clinic.read(format="json_lines", nested=("events",), only={"kind": ("wild",)})
    assert clinic.rows("reef__intakes__events") == []


@pytest.mark.parametrize(
    ("content", "values"),
    [(["a", 1], ["a", "1"]), ("a", ["a"]), ({"value": "a"}, ["a"]), (None, []), ([], [])],
)
def test_a_list_of_something_else_than_objects_has_the_column_value(clinic, content, values):
    clinic.put("a.jsonl", lines({"id": 1, "events": content}, {"id": 2, "events": [{"value": "last"}]}))
    clinic.read(format="json_lines", nested=("events",))
    assert [row["value"] for row in clinic.rows("reef__intakes__events")] == [*values, "last"]


def test_a_declared_list_may_lie_in_an_object(clinic):
    clinic.put("a.jsonl", lines({"id": 1, "care": {"ward": "A", "events": [{"type": "xray"}]}}))
    assert clinic.read(format="json_lines", nested=("care.events",)) == [{"id": "1", "care.ward": "A"}]
    assert [row["type"] for row in clinic.rows("reef__intakes__care.events")] == ["xray"]


def test_an_undeclared_list_is_kept_as_its_json_text(clinic):
    clinic.put("a.jsonl", lines({"id": "1", "tags": ["sea", {"b": "é"}]}))
    assert clinic.read(format="json_lines") == [{"id": "1", "tags": '["sea", {"b": "é"}]'}]


def test_keys_that_meet_after_flattening_are_both_kept(clinic):
    clinic.put("a.jsonl", '{"a.b": "1", "a": {"b": "2"}, "A.B": "3"}\n')
    assert sorted(clinic.read(format="json_lines")[0].values()) == ["1", "2", "3"]


def test_lines_that_are_no_objects_are_refused_alone(clinic):
    clinic.put("a.jsonl", '{"id": 1}\nnot json\n\n[1]\n' + "[" * 100_000 + "\n" + '{"id": 2}')
    assert clinic.read(format="json_lines") == [{"id": "1"}, {"id": "2"}]
    assert [row for row, _ in clinic.refused()] == [2, 4, 5]
    assert clinic.records[0].records_counted == 5
