"""As of a day: only what was there then, written beside the current output, and the same bytes as were made then."""

import shutil
from datetime import date
from pathlib import Path

import networks
import pytest
from unsnag import resources, run, store
from unsnag.databases import reading
from unsnag.errors import UnsnagError
from unsnag.workspace import load

THEN = date(2023, 1, 31)
EARLIER = """
    no,in,kind,why,end,out
    1,2022-01-05,silver gull,tackle,free,2022-02-01
    2,2022-02-05,silver gull,odd word,free,2022-02-07
    3,2022-03-05,black swan,tackle,free,2022-03-06
"""
LATER = """
    number,in,kind,why,end,out,phone,kg
    1,2022-01-05,silver gull,tackle,died,2022-02-01,0491 570 156,0.3
    4,2023-03-05,black swan,tackle,free,2023-03-06,0491 570 156,5
"""
SETTINGS = """
    [[source]]
    name = "stays"
    files = "exports/*.csv"
    export_date_in_name = "%Y-%m-%d"
    {private}
    [source.stay]
    case_number = {number}
    admission_date = "in"
    species = "kind"
    cause = "why"
    outcome = "end"
    outcome_date = "out"
"""
TERMS = "field,term,code,decided,note\ncause,tackle,fishing_tackle,2022-06-01,\noutcome,free,released,,\n"
CHANGED = TERMS + "cause,odd word,illness,2023-02-01,\n"


def write_clinic(folder: Path, name: str, terms: str, **settings: str) -> None:
    place = folder / "clinics" / name
    toml = SETTINGS.format(private=settings.get("private", ""), number=settings.get("number", '"no"'))
    networks.write_text(place / "clinic.toml", toml + settings.get("more", ""))
    networks.write_text(place / "terms.csv", terms)


def add_export(folder: Path, name: str, day: str, text: str) -> None:
    networks.write_text(folder / "clinics" / name / "exports" / f"stays_{day}.csv", text)


def move_on(folder: Path) -> None:
    """What happens after the day: later exports with other columns, a later decision, a clinic more, a broken file."""
    later = {
        "private": 'private = ["phone"]',
        "number": '{ first_of = ["number", "no"] }',
        "more": 'mass = { column = "kg", unit = "kg" }\n',
    }
    write_clinic(folder, "one", CHANGED, **later)
    add_export(folder, "one", "2023-06-30", LATER)
    add_export(folder, "two", "2023-06-30", "broken")
    write_clinic(folder, "three", TERMS)
    add_export(folder, "three", "2023-06-30", EARLIER)


@pytest.fixture(scope="module")
def network(tmp_path_factory):
    """Output kept from the day, and the workspace after it has moved on and been run both ways."""
    folder = networks.write_network(tmp_path_factory.mktemp("network"))
    for name in ("one", "two"):
        write_clinic(folder, name, TERMS)
        add_export(folder, name, "2023-01-31", EARLIER)
    run.everything(load(folder), None, None, networks.quiet)
    kept = tmp_path_factory.mktemp("kept")
    for room in ("out", "store", "private"):
        shutil.copytree(folder / room, kept / room)
    move_on(folder)
    run.everything(load(folder), None, THEN, networks.quiet)
    return folder, kept


def files(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()
    }


def tables(path: Path) -> dict[str, list]:
    with reading(path) as connection:
        names = connection.execute(
            "select table_schema || '.' || table_name from information_schema.tables order by 1"
        ).fetchall()
        return {name: connection.execute(f"select * from {name}").fetchall() for (name,) in names}


def test_what_was_published_then_is_made_again_byte_for_byte(network):
    folder, kept = network
    now, then = files(folder / "out/as-of/2023-01-31"), files(kept / "out")
    # A DuckDB file is never the same bytes twice; its tables are compared below.
    assert now.pop("public.duckdb") and then.pop("public.duckdb")
    assert now == then and any(name.endswith("report.html") for name in now)


def test_the_public_tables_are_those_of_then(network):
    folder, kept = network
    assert tables(folder / "out/as-of/2023-01-31/public.duckdb") == tables(kept / "out/public.duckdb")


def test_the_current_output_and_store_stay_as_they_are(network):
    folder, kept = network
    current = {name: data for name, data in files(folder / "out").items() if not name.startswith("as-of/")}
    assert current == files(kept / "out")
    assert (folder / "store/cases.duckdb").read_bytes() == (kept / "store/cases.duckdb").read_bytes()
    assert files(folder / "private") == files(kept / "private")


def test_the_manifest_lists_only_what_was_used(network):
    folder, _ = network
    manifest = run.manifest_of(load(folder).known_on(THEN), 2022)
    assert [export["export_date"] for export in manifest["exports"]] == ["2023-01-31", "2023-01-31"]
    assert (manifest["clinics_missing"], manifest["terms"]["rows"]) == (0, 4)


def test_without_a_day_the_later_exports_and_decisions_count(network):
    folder, _ = network
    built = store.build(load(folder))
    now = networks.Built(folder)
    assert built.as_of == date(2023, 6, 30) and len(built.problems) == 1
    assert (
        now.values("select case_number, outcome_code from standard.stays where clinic = 'one'")["1"] == "died"
    )
    assert now.rows("select code from standard.coded_words where word = 'odd word' and clinic = 'one'") == [
        ("illness",)
    ]


def test_before_the_first_export_there_is_nothing_to_tell(network):
    folder, _ = network
    with pytest.raises(UnsnagError, match="none is dated 2020-01-01 or earlier"):
        store.build(load(folder).known_on(date(2020, 1, 1)))


def test_questions_planned_later_are_not_asked_yet(tmp_path):
    folder = networks.write_network(tmp_path)
    networks.write_clinic(folder, "one", "case_number,admission_date\nA1,2023-01-01\n")
    shutil.copy(resources.folder("data_demo") / "questions.toml", folder / "questions.toml")
    workspace = load(folder)
    days = [question.planned for question in workspace.questions.question]
    assert workspace.known_on(min(days)).questions.question
    assert not workspace.known_on(date(1990, 1, 1)).questions.question
