"""Drafts of the demo's clinics beside the settings that their maker wrote."""

import tomllib
from datetime import date

import networks
import pytest
from unsnag import resources
from unsnag.draft import Answers, draft_clinic


def origin(cell):
    """The column that a cell of clinic.toml reads."""
    return cell.get("column") if isinstance(cell, dict) else cell


def columns(source):
    """{(record, field, column)} of a source's settings."""
    blocks = [("stay", source["stay"])] if "stay" in source else []
    blocks += [
        (kind, block) for kind in ("gear_item", "procedure", "finding") for block in source.get(kind, [])
    ]
    return {
        (kind, field, origin(cell))
        for kind, block in blocks
        for field, cell in block.items()
        if field not in ("each", "where", "repeat", "facts", "year_of") and origin(cell)
    }


@pytest.fixture(scope="module")
def network(tmp_path_factory):
    return networks.write_network(tmp_path_factory.mktemp("network"))


@pytest.mark.parametrize("name", ["quennaby", "skerrandine"])
def test_a_draft_of_a_demo_clinic_agrees_with_what_its_maker_wrote(network, name):
    place = resources.folder("data_demo") / "clinics" / name
    draft_clinic(network, name, sorted((place / "exports").iterdir()), Answers())
    made = tomllib.loads((network / "clinics" / name / "clinic.toml").read_text("utf-8"))["source"]
    truth = tomllib.loads((place / "clinic.toml").read_text("utf-8"))["source"]
    assert len(made) == len(truth)
    for mine, theirs in zip(made, truth, strict=True):
        stay = {item for item in columns(theirs) if item[0] == "stay"}
        assert len(stay & columns(mine)) >= 0.9 * len(stay)
        assert not {column for *_, column in columns(mine)} & set(theirs.get("private", []))
        assert set(theirs.get("private", [])) <= set(mine.get("private", []))
        order = mine.get("date_order")
        assert order in (None, theirs["date_order"]) and mine.get("title_rows") == theirs.get("title_rows")


def test_a_drafted_demo_clinic_runs_once_its_questions_are_answered(tmp_path):
    networks.write_network(tmp_path)
    place = resources.folder("data_demo") / "clinics" / "marea_alta"
    answers = Answers(exported=date(2025, 1, 7), timezone="Australia/Sydney")
    found = draft_clinic(tmp_path, "marea_alta", sorted((place / "exports").iterdir()), answers)
    assert found.questions == ()
    built = networks.build(tmp_path)
    assert built.one("select count(*) from stage.stays") == built.one("select raw_rows from raw.files")
    assert built.one("select count(*) from stage.stay_rows where refusal_reason is not null") == 0
    assert (
        built.one("select count(*) from stage.procedures") > 100
        and built.one("select count(*) from stage.findings") > 100
    )
