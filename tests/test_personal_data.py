"""Personal data: what is planted in the demo's exports is searched in every byte that a run writes.

Phone numbers, e-mail and street addresses must be nowhere. Names of people are not recognised in free text (privacy.py
says so): they may stand in notes inside the private store, and nowhere else.
"""

import csv
import json
import re
import shutil
import tomllib
from functools import cache
from io import StringIO
from itertools import pairwise

import networks
import openpyxl
import pytest
from unsnag import feedback, resources, run
from unsnag.databases import reading
from unsnag.workspace import load

CLINICS = resources.folder("data_demo") / "clinics"
NAME = r"[^\W\d_]{2,}"
# Each form holds every planted value of its kind, which a test asserts, so that one pass finds them all.
FORMS = {
    "phone": re.compile(r"(?<!\d)(?<!\d\.)0491 ?57\d ?\d{3}(?!\d)"),
    "email": re.compile(r"(?<![\w.])[\w.]{1,60}@example\.org"),
    "address": re.compile(
        r"\d+ (?:Gannet Parade|Saltbush Lane|Old Cannery Road|Petrel Close|Tidewater Street|Lamplighter Row"
        r"|Quince Avenue|Boatshed Lane)"
    ),
    "name": re.compile(rf"{NAME} {NAME}"),
}
CONTACTS = ("phone", "email", "address")


def settings(clinic: str) -> list[dict]:
    return tomllib.loads((CLINICS / clinic / "clinic.toml").read_text("utf-8"))["source"]


def records(clinic: str, source: dict) -> list[dict]:
    """The rows of a source's files, read by other means than the pipeline's."""
    found = []
    for path in sorted((CLINICS / clinic).glob(source["files"])):
        if source["format"] == "json_lines":
            found += [json.loads(line) for line in path.read_text("utf-8").splitlines()]
        elif source["format"] == "workbook":
            sheet = openpyxl.load_workbook(path, read_only=True)[source["sheet"]]
            rows = list(sheet.iter_rows(values_only=True))[source.get("title_rows", 0) :]
            found += [dict(zip(rows[0], row, strict=False)) for row in rows[1:]]
        else:
            text = path.read_text(source["encoding"])
            found += list(csv.DictReader(StringIO(text), delimiter=source["delimiter"]))
    return found


@cache
def planted() -> dict[str, frozenset[str]]:
    """Kind → every value that stands in a private column, and every contact detail anywhere."""
    values, texts = set(), []
    for clinic in sorted(path.name for path in CLINICS.iterdir()):
        for source in settings(clinic):
            for record in records(clinic, source):
                values |= {str(record[name]) for name in source.get("private", []) if record.get(name)}
                texts.append(json.dumps(record, ensure_ascii=False, default=str))
    kinds = {
        kind: {value for value in values if FORMS[kind].fullmatch(value)}
        | set(FORMS[kind].findall("\n".join(texts)))
        for kind in CONTACTS
    }
    names = values - set().union(*kinds.values())
    return {kind: frozenset(found) for kind, found in (kinds | {"name": names}).items()}


@pytest.fixture(scope="module")
def made(demo, tmp_path_factory):
    """The demo as a run leaves it: store, public database, report, feedback."""
    folder = tmp_path_factory.mktemp("made") / "demo"
    shutil.copytree(demo.folder, folder)
    workspace = load(folder)
    run.report(workspace, None, networks.quiet)
    feedback.write_all(workspace)
    return folder


def tables(path) -> dict[str, str]:
    """Table and column → all its text: compression hides text from a search of the file's bytes."""
    with reading(path) as connection:
        columns = connection.execute(
            "select table_schema, table_name, column_name from information_schema.columns order by all"
        ).fetchall()
        return {
            f"{schema}.{table}.{column}": "\n".join(
                str(value)
                for (value,) in connection.execute(
                    f'select distinct "{column}" from {schema}."{table}"'
                ).fetchall()
            )
            for schema, table, column in columns
        }


@cache
def written(folder) -> dict[str, str]:
    """Everything under store/, private/ and out/ as text: each file's bytes, and each database's columns."""
    texts = {}
    for room in ("store", "private", "out"):
        for path in sorted(path for path in (folder / room).rglob("*") if path.is_file()):
            name = path.relative_to(folder).as_posix()
            texts[name] = path.read_bytes().decode("utf-8", "ignore")
            if path.suffix == ".duckdb":
                texts |= {f"{name}: {column}": text for column, text in tables(path).items()}
    return texts


def people_in(text: str) -> set[str]:
    """The planted names that stand in a text."""
    words = re.findall(NAME, text)
    return {f"{first} {second}" for first, second in pairwise(words)} & planted()["name"]


def test_the_demo_has_planted_data_of_every_kind():
    assert all(len(planted()[kind]) > 100 for kind in FORMS)


def test_every_planted_value_has_the_form_that_is_searched():
    assert all(FORMS[kind].fullmatch(value) for kind, found in planted().items() for value in found)


def test_the_search_would_find_what_it_looks_for():
    values = {kind: min(found) for kind, found in planted().items()}
    assert all(FORMS[kind].search(f"xx {values[kind]}, and") for kind in CONTACTS)
    assert people_in(f"ring {values['name']} later") == {values["name"]}


@pytest.mark.parametrize("kind", CONTACTS)
def test_no_contact_detail_is_in_any_byte_that_a_run_writes(made, kind):
    found = {name: FORMS[kind].findall(text)[:3] for name, text in written(made).items()}
    assert {name: values for name, values in found.items() if values} == {}


def test_names_of_people_are_in_notes_inside_the_store_at_most(made):
    notes = re.compile(r"store/cases\.duckdb(: (raw|layout|stage|notes|standard|link|mart)\..*)?")
    beyond = {name: people_in(text) for name, text in written(made).items() if not notes.fullmatch(name)}
    assert {name: found for name, found in beyond.items() if found} == {}


def test_private_columns_are_in_no_table(made):
    hidden = {
        name.lower()
        for clinic in CLINICS.iterdir()
        for source in settings(clinic.name)
        for name in source.get("private", [])
    }
    stored = {name.rpartition(".")[2].lower() for name in written(made) if ": raw." in name}
    assert hidden and not hidden & stored


def test_clinics_names_and_numbers_are_not_in_what_may_be_handed_on(made):
    labels = [clinic.label for clinic in load(made).clinics]
    numbers = re.compile(r"\bQWH\d\d/\d{4}\b|\bMA-20\d\d-\d{4}\b|\bTS\d{6}\b|\bS20\d\d-\d{3}\b")
    out = {name: text for name, text in written(made).items() if name.startswith("out/")}
    assert out and not {name for name, text in out.items() if any(label in text for label in labels)}
    assert not {name for name, text in out.items() if numbers.search(text)}
