"""Real Spanish records in full, read in place: sea turtles of a public wildlife centre, 1989 to 2010."""

import csv
from pathlib import Path

import networks
import pytest
from conftest import reference_folder
from test_real_input import linked

FILE = Path("data") / "tenerife_turtles" / "demo_tortugas.csv"
# Read by eye in the file: the words say that a carcass came in, muerte says No. Row 23 tells of a rotten flipper.
DEAD_WORDS_LIVE_STATUS = [8, 10, 31, 32, 33, 75, 80, 88, 97]
ROTTEN_FLIPPER = 23
# data/tenerife_turtles/ORIGIN.md: 69 of 100 rows have the cause "Artes de pesca", 63 of them muerte = No, 6 Si.
FISHING_GEAR = {"alive or not told": 63, "died": 6}


@pytest.fixture(scope="module")
def turtles(tmp_path_factory):
    folder = linked(tmp_path_factory.mktemp("turtles"), "tenerife", "tenerife", FILE)
    return networks.build(folder)


def source_rows():
    with (reference_folder() / FILE).open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream, delimiter=";"))


def test_a_hundred_of_a_hundred_rows_load_and_become_cases(turtles):
    assert turtles.rows("select records_counted, refused_rows, raw_rows from raw.files") == [(100, 0, 100)]
    assert turtles.one("select count(*) from stage.stays where standing = 'current'") == 100
    assert turtles.one("select sum(stay_count) from mart.cases") == 100
    assert turtles.rows("select law from mart.conservation where not holds") == []


def test_every_cell_that_may_be_stored_is_as_it_stands_in_the_file(turtles):
    kept = [name for name in source_rows()[0] if name != "fmt_lugar"]
    listed = ", ".join(f"coalesce(\"{name}\", '')" for name in kept)
    stored = turtles.rows(f"select {listed} from raw.tenerife__turtles order by _row")
    assert [list(row) for row in stored] == [[row[name] for name in kept] for row in source_rows()]


def test_carcasses_with_a_live_status_are_asked_about_and_a_rotten_flipper_is_not(turtles):
    found = turtles.rows(
        "select raw.id::integer from checks.found join raw.tenerife__turtles as raw on found.row_number = raw._row "
        "where found.rule = 'dead_words_live_status' order by 1"
    )
    assert [row for (row,) in found] == DEAD_WORDS_LIVE_STATUS
    assert "putrefácta" in source_rows()[ROTTEN_FLIPPER - 1]["observa"]


def test_fishing_gear_is_coded_from_spanish_words(turtles):
    coded = turtles.values(
        "select if(outcome_code = 'died', 'died', 'alive or not told'), count(*) from mart.cases where is_tackle "
        "group by all"
    )
    assert coded == FISHING_GEAR


def test_the_centres_addresses_are_not_stored(turtles):
    names = turtles.rows("select column_name from information_schema.columns where table_schema = 'raw'")
    assert ("fmt_lugar",) not in names and ("observa",) in names
