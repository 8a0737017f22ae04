"""Parquet: every type as text."""

import duckdb
import pytest
from read_layouts import Clinic

TYPED = """select 1 as id, 2.50::double as mass, 1.20::decimal(8, 2) as dose, date '2024-03-04' as day,
    timestamp '2024-03-04 10:30:00' as moment, true as alive, ['a', 'b'] as words, '' as nothing"""


@pytest.fixture
def clinic(tmp_path):
    return Clinic(tmp_path)


def put(clinic: Clinic, query: str) -> None:
    duckdb.sql(f"copy ({query}) to '{clinic.folder / 'exports' / 'a.parquet'}' (format parquet)")


def test_every_type_is_text(clinic):
    put(clinic, TYPED)
    assert clinic.read(format="parquet", decimal=",") == [
        {"id": "1", "mass": "2,5", "dose": "1,2", "day": "2024-03-04", "moment": "2024-03-04 10:30:00"}
        | {"alive": "true", "words": "[a, b]"}
    ]


def test_rows_are_numbered_over_batches_and_empty_ones_kept(clinic):
    put(clinic, "select case when i <> 3000 then i end as id from range(1, 5001) as made (i)")
    clinic.read(format="parquet")
    rows = clinic.rows()
    assert [row["_row"] for row in rows] == list(range(1, 5001))
    assert [row["_row"] for row in rows if row["id"] != str(row["_row"])] == [3000]
    assert clinic.records[0].records_counted == 5000


def test_an_object_with_a_private_part_is_dropped_whole(clinic):
    put(clinic, "select 1 as id, {'name': 'Finder', 'town': 'Reef'} as finder")
    assert clinic.read(format="parquet", private=("finder.name",)) == [{"id": "1"}]
