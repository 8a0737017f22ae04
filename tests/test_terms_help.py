"""Suggestions for words without a code, drafts in terms.csv, and codes that may not be used any more."""

import csv
from datetime import date

import networks
import pytest
from unsnag import cli_intake, store, terms_help
from unsnag.csv_text import harmless, unguarded
from unsnag.databases import reading
from unsnag.errors import UnsnagError
from unsnag.fields_help import codes_of, field_rows, markdown
from unsnag.terms_help import Helper, Suggestion, Word
from unsnag.workspace import load
from unsnag.workspace.terms import Term, withdrawn

CODES = {
    "cause": {"fishing tackle": "fishing_tackle", "hit by car": "vehicle", "dog attack": "domestic_animal"},
    "injury": {"swallowed hook": "ingested", "tragado": "ingested"},
    "outcome": {"pts": "euthanased", "released": "released"},
}


def term(clinic, word, code, field="cause", axis=None):
    return Term(clinic, field, word, axis or field, code, None, 2)


def suggested(word, field="cause", terms=()):
    return Helper(CODES, terms).suggestions("here", Word(field, word, 1))


def test_a_slip_of_the_pen_is_recognised():
    assert suggested("hit by caar") == [Suggestion("vehicle", "spelt like 'hit by car'")]


def test_a_shared_word_inside_a_longer_one_is_recognised():
    assert suggested("PTS straight away", "outcome") == [Suggestion("euthanased", "holds 'pts'")]


def test_a_shared_word_is_no_part_of_another_word():
    assert suggested("tpts", "outcome") == []


def test_a_word_of_another_axis_is_suggested_for_that_axis():
    assert suggested("Tragado") == [Suggestion("injury:ingested", "a shared word of injury")]


def test_what_more_clinics_decided_comes_first():
    terms = [term("a", "HBC", "vehicle"), term("b", "hbc", "collision"), term("c", "hbc", "vehicle")]
    assert suggested("hbc", terms=terms) == [
        Suggestion("vehicle", "so decided by 2 other clinics"),
        Suggestion("collision", "so decided by 1 other clinic"),
    ]


def test_a_clinics_own_decision_is_no_other_clinics():
    assert suggested("hbc", terms=[term("here", "hbc", "vehicle")]) == []


def test_another_clinics_decision_on_another_axis_keeps_its_axis():
    terms = [term("a", "swallowed", "ingested", axis="injury")]
    assert suggested("Swallowed", terms=terms)[0].code == "injury:ingested"


def test_nothing_near_is_no_suggestion():
    assert suggested("???") == []


HEADING = "case_number,admission_date,cause\n"


def network(folder, causes, terms=""):
    networks.write_network(folder)
    rows = "".join(f"A{number},2023-01-01,{cause}\n" for number, cause in enumerate(causes))
    networks.write_clinic(folder, "one", HEADING + rows, terms=terms)
    return folder


def written(folder):
    with (folder / "clinics/one/terms.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.reader(stream))


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    causes = ["Zzyx", "zzyx", "hit by caar", "hit by car", "=cmd", "known"]
    folder = network(tmp_path_factory.mktemp("terms"), causes, "cause,known,vehicle\n")
    store.build(load(folder))
    return folder


def test_terms_shows_rows_to_paste_and_writes_nothing(built, capsys):
    before = written(built)
    cli_intake.terms(built)
    said = capsys.readouterr().out
    assert "one: 3 words without a code" in said
    assert "cause,hit by caar,?,,1 record; perhaps vehicle (spelt like 'hit by car')" in said
    assert written(built) == before


def test_every_suggestion_is_shown_and_left_open():
    helper, words = Helper(CODES, ()), [Word("outcome", "PTS straight away", 2), Word("cause", "Tragado", 1)]
    assert terms_help.draft_rows(helper, "here", words) == [
        ("outcome", "PTS straight away", "?", "", "2 records; perhaps euthanased (holds 'pts')"),
        ("cause", "Tragado", "?", "", "1 record; perhaps injury:ingested (a shared word of injury)"),
    ]


def test_drafts_are_appended_once_and_change_nothing_until_decided(built):
    cli_intake.terms(built, write=True)
    first = written(built)
    cli_intake.terms(built, write=True)
    assert written(built) == first
    assert [row[:3] for row in first[2:]] == [
        ["cause", "Zzyx", "?"],
        ["cause", "'=cmd", "?"],
        ["cause", "hit by caar", "?"],
    ]
    assert [term.term for term in load(built).terms] == ["known"]


def test_a_guarded_formula_word_is_the_clinics_word_again(tmp_path):
    folder = network(tmp_path, ["=cmd"], "cause,'=cmd,vehicle\n")
    built = networks.build(folder)
    assert built.rows("select code from standard.coded_words where word = '=cmd'") == [("vehicle",)]


@pytest.mark.parametrize("cell", ["=1+1", "+cmd", "-x", "@sum", "\tx", "-1-1"])
def test_formulas_are_guarded_and_come_back(cell):
    assert harmless(cell) == "'" + cell and unguarded(harmless(cell)) == cell


@pytest.mark.parametrize("cell", ["-36.56", "+3", "1e5", "'quoted'", "a=b", "", "-1,250.5"])
def test_numbers_and_plain_words_stay(cell):
    assert harmless(cell) == cell and unguarded(cell) == cell


ENDS = {("cause", "vehicle"): date(2023, 6, 30)}


@pytest.mark.parametrize(("day", "number"), [(date(2023, 6, 30), 0), (date(2023, 7, 1), 1)])
def test_a_withdrawn_code_is_an_error_from_the_day_after_its_last(tmp_path, day, number):
    found = withdrawn(
        tmp_path, [term("one", "hbc", "vehicle"), term("one", "dog", "domestic_animal")], ENDS, day
    )
    assert len(found) == number
    assert all(
        "terms.csv, line 2: the code vehicle of cause was withdrawn after 2023-06-30" in str(each)
        for each in found
    )


def test_a_withdrawn_code_stops_the_build_and_leaves_the_last_store(tmp_path, monkeypatch):
    folder = network(tmp_path, ["hbc"], "cause,hbc,vehicle\n")
    store.build(load(folder))
    before = (folder / "store/cases.duckdb").read_bytes()
    monkeypatch.setattr(store, "withdrawn_codes", lambda: ENDS)
    with pytest.raises(UnsnagError, match="was withdrawn after 2023-06-30"):
        store.build(load(folder))
    assert (folder / "store/cases.duckdb").read_bytes() == before


@pytest.mark.parametrize(
    "rows", ["cause,hbc,vehicle\ncause,HBC,collision\n", "cause,coché,vehicle\ncause,coche ,collision\n"]
)
def test_a_term_that_two_rows_code_differently_is_an_error(tmp_path, rows):
    with pytest.raises(UnsnagError, match=r"lines 2 and 3: .* is coded both vehicle and collision"):
        load(network(tmp_path, ["x"], rows))


def test_the_list_of_fields_is_the_model(capsys):
    _, rows = field_rows()
    assert ("stay", "mass", "number", "g", "", "Body mass at admission, in grams.") in rows
    assert (
        "stay",
        "line_trailing",
        "term of yes_no",
        "",
        "",
        "Whether line hangs out of or trails behind the animal.",
    ) in rows
    assert all(f"| {row[1]} | {row[2]} |" in markdown() for row in rows)
    cli_intake.fields()
    assert "admission_date" in capsys.readouterr().out


def test_the_codes_of_a_field_are_listed():
    _, rows = codes_of("outcome")
    assert "released" in [row[0] for row in rows]


@pytest.mark.parametrize(("field", "said"), [("outcom", "Did you mean 'outcome'?"), ("mass", "no codes")])
def test_a_field_without_codes_is_said(field, said):
    with pytest.raises(UnsnagError, match=said.replace("?", r"\?")):
        codes_of(field)


def test_words_are_listed_most_records_first(built):
    with reading(built / "store/cases.duckdb") as connection:
        words = terms_help.open_words(connection)["one"]
    assert [(word.term, word.times) for word in words] == [
        ("=cmd", 1),
        ("Zzyx", 1),
        ("hit by caar", 1),
        ("zzyx", 1),
    ]
