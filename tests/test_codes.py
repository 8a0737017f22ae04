"""The shared vocabularies in sql/codes: every file is whole, and every reference between them resolves."""

import csv
import io
import re
import unicodedata
from datetime import date
from functools import cache
from pathlib import Path

import pytest

FOLDER = Path(__file__).resolve().parents[1] / "sql" / "codes"
STANDARD_COLUMNS = ["code", "label", "definition", "synonyms", "since", "until"]
RESERVED = {"unmapped", "ignore"}
FIELD_COLUMNS = ["record", "field", "kind", "vocabulary", "unit", "darwin_core", "definition"]
FIELD_KINDS = {"key", "text", "date", "number", "count", "term", "place", "note"}
PROCEDURE_KINDS = {"watch", "retrieval", "line_removal", "surgery", "imaging", "medicine", "support", "other"}
# Terms of external_checks.md 7.1 (Darwin Core, term_versions.csv, commit 4f1cb23b).
DARWIN_CORE = {
    "eventID",
    "organismID",
    "individualCount",
    "scientificName",
    "sex",
    "lifeStage",
    "eventDate",
    "locality",
    "decimalLatitude",
    "decimalLongitude",
    "coordinateUncertaintyInMeters",
    "vitality",
    "measurementType",
    "measurementValue",
    "measurementUnit",
}


@cache
def read(name):
    with (FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def codes_of(name):
    return {row["code"] for row in read(name)}


def fold(word):
    """A word as the pipeline compares it: trimmed, case, accents and runs of blanks folded."""
    letters = unicodedata.normalize("NFD", word)
    bare = "".join(letter for letter in letters if not unicodedata.combining(letter))
    return " ".join(bare.casefold().split())


def forms(row):
    return [row["code"], row["label"], *filter(None, row["synonyms"].split("|"))]


def code_for(vocabulary, word):
    return next((row["code"] for row in read(vocabulary) if fold(word) in map(fold, forms(row))), None)


def is_vocabulary(path):
    """Rules, such as the words that betray a carcass, lie in the same folder and have no codes."""
    return path.read_text(encoding="utf-8").startswith("code,")


VOCABULARIES = [path.stem for path in sorted(FOLDER.glob("*.csv")) if is_vocabulary(path)]
every_vocabulary = pytest.mark.parametrize("name", VOCABULARIES)


@pytest.mark.parametrize("name", [*VOCABULARIES, "fields"])
def test_a_file_is_plain_comma_separated_text(name):
    text = (FOLDER / f"{name}.csv").read_bytes().decode("utf-8")
    rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert not text.startswith("\ufeff") and "\r" not in text
    assert len(rows) > 1 and {len(row) for row in rows} == {len(rows[0])}
    written = io.StringIO(newline="")
    csv.writer(written, lineterminator="\n").writerows(rows)
    assert written.getvalue() == text
    assert all(cell == cell.strip() for row in rows for cell in row)


def test_every_vocabulary_that_the_models_join_is_there():
    # The vocabulary 'clinic' is no file: its codes are the folders of a workspace.
    joined = {row["vocabulary"] for row in read("fields")} - {"", "clinic"}
    assert joined | {"outcome_class", "treatment", "taxon_group", "release_convention"} == set(VOCABULARIES)


@every_vocabulary
def test_a_vocabulary_starts_with_the_standard_columns(name):
    assert list(read(name)[0])[: len(STANDARD_COLUMNS)] == STANDARD_COLUMNS


@every_vocabulary
def test_codes_are_unique_snake_case_and_not_reserved(name):
    codes = [row["code"] for row in read(name)]
    assert len(set(codes)) == len(codes)
    assert [code for code in codes if not re.fullmatch(r"[a-z0-9]+(_[a-z0-9]+)*", code)] == []
    assert RESERVED.isdisjoint(codes)


@every_vocabulary
def test_no_word_means_two_codes(name):
    meanings = {}
    for row in read(name):
        for word in forms(row):
            meanings.setdefault(fold(word), set()).add(row["code"])
    assert {word: codes for word, codes in meanings.items() if len(codes) > 1} == {}
    assert RESERVED.isdisjoint(meanings)


@every_vocabulary
def test_synonyms_are_folded_already_and_listed_once(name):
    for row in read(name):
        synonyms = row["synonyms"].split("|") if row["synonyms"] else []
        assert synonyms == [fold(synonym) for synonym in synonyms] and "" not in synonyms, row["code"]
        assert len(set(synonyms)) == len(synonyms), row["code"]
        assert set(synonyms).isdisjoint({row["code"], fold(row["label"])}), row["code"]


@every_vocabulary
def test_every_code_has_a_label_and_a_definition(name):
    for row in read(name):
        assert row["label"] and row["definition"].endswith("."), row["code"]


@every_vocabulary
def test_dates_of_validity_are_dates_in_order(name):
    for row in read(name):
        since, until = (date.fromisoformat(row[key]) if row[key] else None for key in ("since", "until"))
        assert since is None or until is None or since <= until, row["code"]


@every_vocabulary
def test_flags_are_yes_or_no(name):
    flags = [column for column in read(name)[0] if column.startswith("is_")]
    assert {row[flag] for row in read(name) for flag in flags} <= {"yes", "no"}


@every_vocabulary
def test_ranks_run_from_one_without_ties(name):
    ranks = sorted(int(row["rank"]) for row in read(name) if "rank" in row)
    assert ranks == list(range(1, len(ranks) + 1))


def test_fields_name_kinds_vocabularies_and_terms_that_exist():
    rows = read("fields")
    assert list(rows[0]) == FIELD_COLUMNS
    assert {row["kind"] for row in rows} <= FIELD_KINDS
    assert {row["darwin_core"] for row in rows} - {""} <= DARWIN_CORE
    for row in rows:
        assert (row["kind"] == "term") == bool(row["vocabulary"]), row["field"]
        assert row["vocabulary"] in {"", "clinic", *VOCABULARIES}, row["field"]
        assert row["definition"].endswith("."), row["field"]


def test_a_field_has_one_name_a_record_and_one_meaning_over_records():
    rows = read("fields")
    names = [(row["record"], row["field"]) for row in rows]
    assert len(set(names)) == len(names)
    assert {row["record"] for row in rows} == {"stay", "gear_item", "procedure", "finding"}
    meaning = {}
    for row in rows:
        signature = row["kind"], row["vocabulary"], row["unit"], row["darwin_core"]
        assert meaning.setdefault(row["field"], signature) == signature, row["field"]


def test_a_field_of_terms_is_named_for_its_vocabulary():
    shared = dict.fromkeys(("line_trailing", "lead", "gear_at_release"), "yes_no")
    shared |= dict.fromkeys(("other_clinic", "transferred_to"), "clinic")
    for row in read("fields"):
        if row["kind"] == "term":
            assert row["vocabulary"] == shared.get(row["field"], row["field"])


def test_species_belong_to_taxon_groups():
    assert {row["taxon_group"] for row in read("species")} <= codes_of("taxon_group")
    for row in read("species"):
        is_turtle = row["taxon_group"] == "freshwater_turtle"
        assert (row["is_freshwater_turtle"] == "yes") == is_turtle, row["code"]


def test_every_taxon_group_has_a_species():
    assert codes_of("taxon_group") == {row["taxon_group"] for row in read("species")}


def test_species_codes_are_their_scientific_names():
    for row in read("species"):
        if not row["code"].endswith("_sp"):
            assert row["code"] == row["scientific_name"].lower().replace(" ", "_")
            assert code_for("species", row["scientific_name"]) == row["code"]


def test_mass_ranges_and_sensitivity_are_possible():
    for row in read("species"):
        assert 0 < int(row["mass_g_low"]) < int(row["mass_g_high"]), row["code"]
        assert row["sensitivity"] in {"", "1", "2", "3", "4"}, row["code"]
        assert row["mass_checked"] in {"from_memory", "yes"}, row["code"]


def test_procedures_point_at_treatments_and_kinds():
    rows = read("procedure")
    assert {row["treatment_code"] for row in rows} - {""} == codes_of("treatment")
    assert {row["procedure_kind"] for row in rows} == PROCEDURE_KINDS
    for row in rows:
        if row["is_attempt_at_removal"] == "yes":
            assert row["procedure_kind"] in {"retrieval", "line_removal", "surgery"}, row["code"]


def test_outcomes_point_at_classes_and_only_pending_has_no_outcome():
    used = {row["outcome_class"] for row in read("outcome")}
    assert codes_of("outcome_class") - used == {"pending"}
    assert used <= codes_of("outcome_class")


def test_body_site_identifiers_are_well_formed_and_say_how_they_were_checked():
    rows = read("body_site")
    identifiers = [row["uberon_id"] for row in rows if row["uberon_id"]]
    assert len(set(identifiers)) == len(identifiers)
    for row in rows:
        assert re.fullmatch(r"(UBERON:\d{7})?", row["uberon_id"]), row["code"]
        assert bool(row["uberon_id"]) == bool(row["uberon_label"]) == bool(row["id_checked"]), row["code"]
        assert row["id_checked"] in {"", "yes", "from_memory"}, row["code"]


def test_conventions_name_classes_and_timings_that_exist():
    classes, timings = codes_of("outcome_class"), codes_of("outcome_timing")
    for row in read("release_convention"):
        denominator = set(row["denominator"].split())
        assert set(row["numerator"].split()) <= denominator <= classes, row["code"]
        pairs = [pair.split("@") for pair in row["without_timing"].split()]
        assert all(ending in denominator and timing in timings for ending, timing in pairs), row["code"]
        assert row["source"], row["code"]


@pytest.mark.parametrize(
    ("vocabulary", "word", "code"),
    [
        ("cause", "Artes de pesca", "fishing_tackle"),
        ("cause", "Hidrocarburos", "oiling"),
        ("gear", "anzuelo", "hook"),
        ("gear", "nylon", "line"),
        ("cause", "palangre", "fishing_tackle"),
        ("injury", "Enmallada", "entangled"),
        ("body_site", "Caparazón", "shell"),
        ("body_site", "esófago", "oesophagus"),
        ("species", "Tortuga Boba", "caretta_caretta"),
    ],
)
def test_words_of_a_spanish_clinic_match_garcia_2022(vocabulary, word, code):
    """García Estupiñán (2022), admissions in Tenerife: words of the file, meanings of its description."""
    assert code_for(vocabulary, word) == code


@pytest.mark.parametrize(
    ("vocabulary", "word"),
    [
        ("outcome", "DOA"),
        ("outcome", "dead"),
        ("outcome", "pending"),
        ("injury", "hooked"),
        ("procedure", "hook removed"),
        ("procedure", "line cut"),
        ("species", "snapper"),
        ("triage_score", "category 1"),
        ("gear", "hook and line"),
    ],
)
def test_a_word_that_says_two_things_or_too_little_has_no_code(vocabulary, word):
    """DOA is an ending and its moment, a hook is removed in several ways: a clinic decides, not this list."""
    assert code_for(vocabulary, word) is None
