"""A clinic's own shorthand: written out before reading, told in the clinic's words and places."""

import datetime

import networks
import pytest
from hypothesis import given
from hypothesis import strategies as st
from typer.testing import CliRunner
from unsnag import cli
from unsnag.errors import UnsnagError
from unsnag.notes import load_rules
from unsnag.notes.read import reader
from unsnag.notes.shorthand import Shorthand
from unsnag.notes.unread import unread_short_words
from unsnag.workspace import load

OWN = {"HKF": "hook in the foot", "wb": "wader bay", "Tx": "hook", "Tx out": "hook taken out"}
STAYS = """
    case_number,admission_date,cause,gear,outcome,outcome_date,notes
    1,2023-03-01,fishing tackle,,released,2023-03-20,HKF. Eating.
    2,2023-03-01,fishing tackle,,released,2023-03-20,Thin. Eating.
    3,2023-03-01,fishing tackle,,released,2023-03-20,Hkf and thin.
    """
FILE = "written,means,decided,note\nHKF,hook in the foot,2023-06-01,asked Ana\n"


def read(text: str):
    return [each.mention for each in reader(load_rules()).read(text, shorthand=Shorthand(OWN))]


def test_shorthand_is_read_as_what_it_means_and_told_as_it_was_written():
    text = "Gull, hkf, brought 3/4. Eating."
    said = {(each.axis, each.code): text[each.start : each.end] for each in read(text)}
    assert said["gear", "hook"] == said["body_site", "foot_or_leg"] == said["injury", "embedded"] == "hkf"
    assert said["finding", "eating"] == "Eating"
    assert all(each.text == text[each.start : each.end] for each in read(text))


def test_the_longest_piece_counts_and_parts_of_words_are_none():
    assert [each.code for each in read("Tx out")] == ["hook", "manual_removal"]
    assert read("Txb, shkf") == []


def test_a_piece_that_is_understood_in_part_stands_whole():
    written = Shorthand({"ab": "one two three"}).write_out("x ab y")
    assert written.text == "x one two three y"
    assert written.back(2, 15) == written.back(6, 9) == (2, 4)
    assert written.back(0, 1) == (0, 1) and written.back(16, 17) == (5, 6)


@given(st.text(alphabet="ab .", max_size=30))
def test_every_place_is_found_again(text):
    written = Shorthand({"a": "xyz", "ab": "z", "b": "ab"}).write_out(text)
    for place in range(len(written.text)):
        start, end = written.back(place, place + 1)
        assert 0 <= start < end <= len(text)
        is_shorthand = text[start:end] in ("a", "ab", "b")
        assert is_shorthand or text[start:end] == written.text[place]


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = networks.write_network(tmp_path_factory.mktemp("shorthand"))
    for name in ("north", "south"):
        networks.write_clinic(folder, name, STAYS, settings="export_date = 2024-01-31")
    (folder / "clinics" / "north" / "shorthand.csv").write_text(FILE, "utf-8")
    return folder


def test_only_the_clinic_that_wrote_it_is_read_so(folder):
    rows = networks.build(folder).rows(
        "select clinic, words from notes.facts inner join notes.texts using (text_number) where axis = 'gear'"
    )
    assert sorted(rows) == [("north", "HKF"), ("north", "Hkf")]


def test_the_command_shows_it_for_that_clinic(folder):
    shown = [
        CliRunner().invoke(cli.app, ["notes", str(folder), "HKF", "--clinic", clinic]).output
        for clinic in ("north", "south")
    ]
    assert "foot_or_leg" in shown[0] and "Nothing is understood" in shown[1]


def test_short_words_that_no_rule_knows_are_drafted_for_somebody_who_knows():
    texts = [
        "Hook, to WB. Zqk.",
        "LRS, wb again. ZQK",
        "zqk BRIGHT, Ann",
        "NOTHING BUT CAPITALS, ROQUA",
        "ROQUA",
    ]
    found = unread_short_words(texts, reader(load_rules()))
    assert [(each.written, each.texts) for each in found] == [("ZQK", 3), ("WB", 2)]
    assert found[1].example == "Hook, to WB. Zqk."


def test_the_command_drafts_them_and_a_draft_means_nothing_yet(folder):
    networks.build(folder)
    shown = CliRunner().invoke(cli.app, ["notes", str(folder), "--unread"]).output
    north, south = shown.split("Rows for clinics/south/shorthand.csv")
    assert "north: no short word" in north
    assert 'HKF,?,,"2 texts, such as: HKF. Eating."' in south
    (folder / "clinics" / "south" / "shorthand.csv").write_text("written,means\nHKF,?\n", "utf-8")
    assert "south" not in load(folder).shorthand


def test_the_command_asks_for_a_text(folder):
    refused = CliRunner().invoke(cli.app, ["notes", str(folder)])
    assert refused.exit_code and "there is no text to read" in refused.output


def test_what_was_decided_later_was_not_known_before(folder):
    workspace = load(folder)
    assert workspace.shorthand == {"north": {"HKF": "hook in the foot"}}
    assert workspace.known_on(datetime.date(2023, 5, 31)).shorthand == {}
    assert workspace.known_on(datetime.date(2023, 6, 1)).shorthand == workspace.shorthand


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("written,meaning\nHKF,hook\n", "the column means is missing"),
        ("written,means\nHKF,\n", "line 2: what is written or what it means is missing"),
        ("written,means,decided\nHKF,hook,June\n", "line 2: 'June' is no date"),
        ("written,means\nHKF,hook\nhkf,line\n", "lines 2 and 3: 'hkf' is given twice"),
    ],
)
def test_a_file_that_cannot_be_used_says_why(tmp_path, content, said):
    folder = networks.write_network(tmp_path)
    networks.write_clinic(folder, "north", STAYS)
    (folder / "clinics" / "north" / "shorthand.csv").write_text(content, "utf-8")
    with pytest.raises(UnsnagError) as raised:
        load(folder)
    assert said in str(raised.value)
