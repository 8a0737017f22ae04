"""The parts of reading: folding, words, slips, patterns, days, bulk and explanation."""

import datetime
import re

import pandas
import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.console import Console
from unsnag.notes import explain, load_rules, understand, understand_all
from unsnag.notes.bits import WordBits
from unsnag.notes.bulk import COLUMNS
from unsnag.notes.dates import DATE, MAY_BE_DATE, When, read_when, resolve
from unsnag.notes.patterns import Patterns
from unsnag.notes.slips import Mender
from unsnag.notes.tokens import Tokeniser, fold
from unsnag.notes.values import value_near

LISTS = {"common": ("in", "the"), "hook": ("hook", "fish hook*"), "deep": ("crop", "stomach")}
TEXTS = ["hook in beak", "", None, "hook in beak", "Fell from nest.", "released 4/3"]
DAYS = [datetime.date(2024, 3, 1)] * len(TEXTS)


def words(text: str) -> list[str]:
    return Tokeniser(lambda word: word, {"prox"}).read(fold(text)).words


def matches(written: str, line: str) -> bool:
    return any(pattern.regex.search(f" {line} ") for pattern in Patterns(LISTS).of(written))


@given(st.text())
def test_folding_moves_nothing(text):
    assert len(fold(text)) == len(text)


def test_folding_takes_case_and_accents():
    assert fold("Esófago ÑU µg ’") == "esofago nu ug '"
    assert words("eso\u0301fago") == [".", "esofago", "."]


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("X-ray: no hook", "x ray no hook"),
        ("hook/line & lure", "hook and line and lure"),
        ("w/ hook", "w hook"),
        ("s/ anzuelo, s/p sx", "sin anzuelo , s p sx"),
        ("prox. oes", "prox oes"),
        ("hook. Line", "hook . line"),
        ("hook, line", "hook , line"),
        ("# L wing, 2nd #3", "fracture l wing , 2nd 3"),
        ("2hooks 30cm", "2 hooks 30 cm"),
        ("?hook anzuelo? no", "? hook anzuelo ? . no"),
        ("cold -> died", "cold , died"),
        ("Pb <3.3", "pb below 3.3"),
        ("xr 3/3 clear", "xr <date> clear"),
        ("lead 0.02. Fluids", "lead 0.02 . fluids"),
    ],
)
def test_punctuation_becomes_what_it_says(text, line):
    assert " ".join(words(text)) == f". {line} ."


def test_a_slip_is_mended_and_a_real_word_is_not():
    mend = Mender(
        {"infected", "untangled"}, {"infected", "oesophagus", "entangled", "enmallada"}, {"injected"}
    )
    assert [mend(word) for word in ("oesophgus", "oesphagus", "enmalada")] == [
        "oesophagus",
        "oesophagus",
        "enmallada",
    ]
    assert [mend(word) for word in ("injected", "untangled", "hook")] == ["injected", "untangled", "hook"]


@pytest.mark.parametrize(
    ("written", "line", "found"),
    [
        ("{hook} .. {deep}", "hook seen in the crop", True),
        ("{hook} .. {deep}", "hook seen in the left upper crop", False),
        ("{hook} .. {deep}", "hook , crop", False),
        ("{hook} ... {deep}", "hook , probably , in crop", True),
        ("{hook} ... {deep}", "hook . crop", False),
        ("fish hook|line", "fish line", True),
        ("entangl* [in] line", "entangled line", True),
        ("lead #", "lead 0.5", True),
        ("cut_off|away", "cut off", True),
        ("hook / gone", "hook , gone", True),
        ("a ; b", "b", True),
        ("hook", "hooks", False),
    ],
)
def test_patterns(written, line, found):
    assert matches(written, line) is found


@pytest.mark.parametrize(
    ("written", "opens", "skips"),
    [
        ("hook|lure in", {"hook", "lure"}, 0),
        ("[the] [big] hook", {"the", "big", "hook"}, 0),  # one of them stands first
        (".|/ [on] pool .", {"on", "pool"}, 1),  # behind the mark
        (". ... pool", {"."}, 0),
        ("[the] .. pool", set(), 0),  # any word may
        ("fish_hook", {"fish"}, 0),
    ],
)
def test_a_pattern_knows_with_which_words_it_may_open(written, opens, skips):
    (pattern,) = Patterns(LISTS).of(written)
    assert (pattern.opens, pattern.skips) == (opens, skips)


def test_bits_know_words_beginnings_and_numbers():
    bits = WordBits(lambda word: word)
    hook, tangle, number = (bits.bit(frozenset(words)) for words in ({"hook"}, {"entangl*"}, {"#"}))
    bits.settle()
    assert bits.mask(["hook", "entangled"]) == hook | tangle
    assert bits.mask(["12345"]) == number
    assert bits.mask(["nest"]) == 0


@pytest.mark.parametrize(
    ("written", "order", "when"),
    [
        ("3/4/2021", "dmy", When(2021, 4, 3)),
        ("3/4/2021", "mdy", When(2021, 3, 4)),
        ("4/27", "dmy", When(None, 4, 27)),
        ("2021-04-03", "dmy", When(2021, 4, 3)),
        ("5.3.22", "dmy", When(2022, 3, 5)),
        ("15 septiembre 2009", "dmy", When(2009, 9, 15)),
        ("18 de agosto 2009", "dmy", When(2009, 8, 18)),
        ("7/mayo", "dmy", When(None, 5, 7)),
        ("march 1", "dmy", When(None, 3, 1)),
        ("2-apr", "mdy", When(None, 4, 2)),
        ("d14", "dmy", When(days_after=14)),
        ("dia 18", "dmy", When(days_after=18)),
        ("31/2", "dmy", None),
        ("5/4", "ymd", When(None, 5, 4, is_open=True)),
        ("5/25", "ymd", When(None, 5, 25)),
        ("5/5", "ymd", When(None, 5, 5)),
        ("45/60", "dmy", None),
    ],
)
def test_days_by_hand(written, order, when):
    assert read_when(written, order) == when


@pytest.mark.parametrize(
    "written", ["3/4", "3/4/2021", "2021-04-03", "7/mayo", "march 1", "day 7", "d7", "2-apr", "1st may"]
)
def test_the_quick_look_sees_every_date(written):
    assert re.search(DATE, f"xr {written} clear")
    assert MAY_BE_DATE.search(f"xr {written} clear")


def test_a_score_is_no_day():
    assert understand("BCS 3/5, released", datetime.date(2024, 3, 1))[0].date is None


def test_days_fall_in_the_stay_by_hand():
    admitted = datetime.date(2024, 12, 20)
    assert resolve(When(None, 1, 3), admitted) == datetime.date(2025, 1, 3)
    assert resolve(When(None, 12, 1), admitted) == datetime.date(2024, 12, 1), (
        "found or filmed before it came"
    )
    assert resolve(When(None, 10, 1), admitted) == datetime.date(2025, 10, 1)
    assert resolve(When(days_after=12), admitted) == datetime.date(2025, 1, 1)
    assert resolve(When(None, 1, 3), None) is None
    assert resolve(When(None, 2, 29), datetime.date(2025, 3, 1)) is None
    assert resolve(When(None, 1, 3), admitted, datetime.date(2025, 1, 3)) == datetime.date(2025, 1, 3)
    assert resolve(When(None, 1, 3), admitted, datetime.date(2025, 1, 2)) is None


def test_values():
    assert value_near("lead 180 ug/dl.", 0, 4) == "180 ug/dl"
    assert value_near("Pb 1,2 ppm", 0, 2) == "1,2 ppm"
    assert value_near("lead pending", 0, 4) is None


def test_many_notes_are_read_as_one_by_one():
    frame = understand_all(TEXTS, DAYS)
    alone = [(n, m.axis, m.code) for n, t in enumerate(TEXTS) if t for m in understand(t, DAYS[n])]
    assert list(zip(frame["note"], frame["axis"], frame["code"], strict=True)) == alone
    assert frame["date"].dropna().tolist() == [datetime.date(2024, 3, 4)]


def test_many_notes_are_the_same_on_two_processes(monkeypatch):
    monkeypatch.setattr("unsnag.notes.bulk.CHUNK", 2)
    pandas.testing.assert_frame_equal(understand_all(TEXTS, DAYS), understand_all(TEXTS, DAYS, processes=2))


def test_as_many_dates_as_texts():
    with pytest.raises(ValueError, match="1 texts and 0 dates"):
        understand_all(["hook"], [])


def test_no_notes_give_an_empty_frame_with_all_columns():
    assert list(understand_all([]).columns) == list(COLUMNS)


def printed(text: str) -> str:
    console = Console(width=200, record=True, file=None, quiet=False)
    with console.capture() as capture:
        console.print(explain(text, datetime.date(2024, 3, 1)))
    return capture.get()


def test_an_explanation_shows_words_reasons_and_look_alikes():
    shown = printed("Suture line dry. No hook on xr 4/3.")
    assert "a line that no angler lost (not_a_line)" in shown
    assert "'no': a denial before it (denied)" in shown
    assert "2024-03-04" in shown


def test_an_explanation_of_nothing_says_so():
    assert "Nothing is understood in this note." in printed("Failure to thrive.")


def test_brackets_in_a_note_are_no_markup():
    assert "hook [bold]" in printed("hook [bold]")


def test_the_shipped_rules_load_once():
    assert load_rules() is load_rules()
