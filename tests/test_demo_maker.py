"""The demo: the committed bytes are what its maker makes; everybody and everything in it is invented."""

import os
import re
import subprocess
import sys
import tomllib

import demo_exports as demo
import pytest

DEMO, CLINICS = demo.DEMO, demo.CLINICS
MADE = (
    "clinics",
    "places",
    "truth",
    "decisions",
    "network.toml",
    "questions.toml",
    "cohorts.toml",
    "README.md",
)


def run_maker(folder, *options, **environment):
    command = [sys.executable, str(DEMO / "maker" / "make.py"), "--to", str(folder), *options]
    subprocess.run(command, check=True, env={**os.environ, **environment}, timeout=120)


def files(folder):
    """Relative path → bytes of everything that belongs to the workspace."""
    found = [path for name in MADE for path in [folder / name, *(folder / name).rglob("*")] if path.is_file()]
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in found}


def test_maker_gives_the_committed_bytes_in_any_time_zone_and_locale(tmp_path):
    run_maker(tmp_path, TZ="Pacific/Kiritimati", LC_ALL="C", PYTHONHASHSEED="7", PYTHONUTF8="0")
    made, committed = files(tmp_path), files(DEMO)
    assert sorted(made) == sorted(committed)
    assert [name for name in committed if made[name] != committed[name]] == []


def test_maker_makes_any_number_of_cases_in_batches(tmp_path, monkeypatch):
    monkeypatch.syspath_prepend(str(DEMO))
    from maker import make

    monkeypatch.setattr(make, "BATCH", 150)
    make.make(400, tmp_path)
    cases = demo.csv_rows(tmp_path / "truth" / "cases.csv")
    stays = demo.csv_rows(tmp_path / "truth" / "stays.csv")
    assert len({case["case_id"] for case in cases}) == len(cases) == 400
    assert len({(stay["clinic"], stay["case_number"]) for stay in stays}) == len(stays) >= 400
    assert len({case["admission_date"] for case in cases}) > 300  # batches are not copies of one another


def test_demo_is_under_five_megabytes():
    assert sum(len(content) for content in files(DEMO).values()) < 5_000_000


def test_everything_says_that_it_is_invented_and_lies_in_open_ocean():
    network = tomllib.loads((DEMO / "network.toml").read_text("utf-8"))
    assert network["invented"] is True and "invented" in network["name"]
    # The Tasman Sea, some 550 km from the nearest land (from memory: Lord Howe Island lies at 31.6 S, 159.1 E).
    assert -37.5 < network["region"]["south"] < network["region"]["north"] < -35.5
    assert 159.5 < network["region"]["west"] < network["region"]["east"] < 161.5


PRIVATE_NOTES = {"marea_alta": "Observaciones", "quennaby": "Comments", "lantern_rock": "Story", "tern_street": "note",
                 "skerrandine": "REMARKS"}  # fmt: skip


@pytest.mark.parametrize("clinic", CLINICS)
def test_invented_contacts_are_planted_in_private_columns_and_in_notes(clinic):
    private = demo.layout(clinic)["source"][0]["private"]
    notes = [str(row[PRIVATE_NOTES[clinic]] or "") for row in demo.main_rows(clinic)]
    cells = [str(row[name]) for row in demo.main_rows(clinic) for name in private]
    assert all(cells) and set(private) <= set(demo.main_rows(clinic)[0])
    assert sum("0491 57" in note for note in notes) > 2
    text = " ".join(cells + notes)
    assert set(re.findall(r"[\w.]+@([\w.]+\w)", text)) <= {"example.org"}
    # The range that is set aside for fiction (from memory).
    assert all(number.startswith("0491 57") for number in re.findall(r"\b0\d{3} \d{3} \d{3}\b", text))


def test_words_of_the_demo_hold_no_path_of_a_machine():
    texts = [content for name, content in files(DEMO).items() if not name.endswith(".xlsx")]
    assert not any(re.search(rb"/(work|tmp|home|Users)/", content) for content in texts)
