"""Broken exports through the whole command: one clear sentence each, the others run, the report says who is missing."""

import re
import zipfile
from io import BytesIO

import networks
import openpyxl
import pytest
from typer.testing import CliRunner
from unsnag import store
from unsnag.cli import app
from unsnag.workspace import load

STAYS = """\
case_number,admission_date,species,cause,outcome,outcome_date,notes
1,2023-01-05,emydura_macquarii,fishing_tackle,released,2023-02-01,=cmd|' /C calc'!A0
2,2023-02-05,larus_sp,"+odd, word",died,2023-02-07,"@SUM(1)
over two lines"
"""
GOOD = STAYS.encode()
HEADING = STAYS.splitlines()[0].encode()


def workbook(rows: list[list]) -> bytes:
    book, out = openpyxl.Workbook(), BytesIO()
    for row in rows:
        book.active.append(row)
    book.save(out)
    return out.getvalue()


def bomb() -> bytes:
    """A workbook of a few kilobytes whose sheet unpacks to 60 megabytes of blanks."""
    plain, out = BytesIO(workbook([HEADING.decode().split(",")])), BytesIO()
    with zipfile.ZipFile(plain) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for member in old.infolist():
            data = old.read(member)
            new.writestr(member, data + b" " * (60 << 20) if "sheet1" in member.filename else data)
    return out.getvalue()


# clinic → (bytes of its export, format, what is said of it)
BROKEN = {
    "empty": (b"", "delimited", "the file is empty"),
    "cut_in_quotes": (GOOD[:-15], "delimited", "a quoted cell begins here that is never closed"),
    "semicolons": (
        GOOD.replace(b",", b";"),
        "delimited",
        "the header row has one column where clinic.toml names more",
    ),
    "column_gone": (GOOD.replace(b"cause,", b"reason,"), "delimited", "the exports have no column 'cause'"),
    "header_gone": (GOOD.partition(b"\n")[2], "delimited", "the header row has none of the columns"),
    "rubbish": (bytes(range(256)) * 40, "delimited", "it is binary or UTF-16 without a byte order mark"),
    "papers": (b"%PDF-1.7 \xff\xfe\x00" + GOOD, "delimited", "it is a PDF document"),
    "no_workbook": (GOOD, "workbook", "the file is not a readable workbook"),
    "bomb": (bomb(), "workbook", "is refused as unsafe"),
    "undated": (GOOD, "delimited", "the file's name has no date like"),
}
# clinic → (bytes of an export that can be read in part, its records refused)
PARTLY = {
    "cut_line": (GOOD + b"3,2023-03-01,larus", 1),
    "good": (GOOD, 0),
    "huge": (GOOD + b"3,2023-03-01,,,,," + b"x" * 10_000_000 + b"\n", 0),
}


def write_clinic(folder, name: str, content: bytes, format: str = "delimited") -> None:
    suffix = {"workbook": "xlsx", "delimited": "csv"}[format]
    date = 'export_date_in_name = "%Y-%m-%d"' if name == "undated" else "export_date = 2023-12-31"
    networks.write_clinic(folder, name, STAYS, settings=f'{date}\nformat = "{format}"')
    place = folder / "clinics" / name
    toml = (place / "clinic.toml").read_text("utf-8").replace("stays/*.csv", f"stays/*.{suffix}")
    (place / "clinic.toml").write_text(toml, "utf-8")
    (place / "exports/stays/stays.csv").unlink()
    (place / f"exports/stays/stays.{suffix}").write_bytes(content)


@pytest.fixture(scope="module")
def ran(tmp_path_factory):
    """(workspace, exit code, what stood on the terminal) of one run over all of them."""
    folder = networks.write_network(tmp_path_factory.mktemp("broken"))
    for name, (content, format, _) in BROKEN.items():
        write_clinic(folder, name, content, format)
    for name, (content, _) in PARTLY.items():
        write_clinic(folder, name, content)
    result = CliRunner().invoke(app, ["run", str(folder)], env={"COLUMNS": "400"})
    return networks.Built(folder), result


def test_the_run_ends_with_exit_code_1_and_no_traceback(ran):
    _, result = ran
    assert result.exit_code == 1 and isinstance(result.exception, SystemExit)
    assert "Traceback" not in result.output


@pytest.mark.parametrize("name", BROKEN)
def test_each_broken_export_is_one_clear_sentence_with_a_remedy(ran, name):
    _, result = ran
    said = " ".join(result.output.split())
    (sentence,) = re.findall(
        rf"(?:clinics/{name}/|{name}, source )\S+(?:, line \d+)?: ((?:[^.]|\.\S)*)\. [A-Z]", said
    )
    assert BROKEN[name][2] in sentence and len(sentence) < 200


def test_the_broken_clinics_are_missing_whole_and_the_others_there(ran):
    built, _ = ran
    assert {name for (name,) in built.rows("select clinic from clinic.missing")} == set(BROKEN)
    counts = built.values("select clinic, count(*) from mart.cases group by clinic")
    assert counts == {"good": 2, "huge": 3, "cut_line": 2}
    assert {name for (name,) in built.rows("select distinct clinic from raw.files")} == set(PARTLY)


def test_a_record_that_the_file_ends_in_is_refused_and_listed(ran):
    built, _ = ran
    refused = built.values("select clinic, sum(refused_rows) from raw.files group by clinic")
    assert refused == {name: number for name, (_, number) in PARTLY.items()}
    assert built.rows("select clinic, row_number from checks.found where rule = 'refused_records'") == [
        ("cut_line", 4)
    ]


def test_nothing_is_lost(ran):
    built, _ = ran
    assert built.one("select bool_and(holds) from mart.conservation")


def test_the_report_says_how_many_are_missing_and_names_none(ran):
    built, _ = ran
    about = dict(built.public("select key, value from public.about"))
    assert (about["clinics"], about["clinics_missing"]) == ("13", "10")
    assert len(about["clinics_missing_letters"].split(", ")) == 10
    page = next(built.folder.glob("out/*/report.html")).read_text("utf-8")
    assert f"10 of 13 clinics could not be read (letter {about['clinics_missing_letters']})" in page
    assert not [name for name in BROKEN if f"{name}/" in page or f">{name}<" in page or f"{name}," in page]


def test_formulas_stay_text_and_are_guarded_in_every_csv(ran):
    built, _ = ran
    assert (
        built.one("select notes from stage.stays where clinic = 'good' and case_number = '1'")
        == "=cmd|' /C calc'!A0"
    )
    cells = [
        line
        for path in built.folder.rglob("*.csv")
        if "exports" not in path.parts
        for line in path.read_text("utf-8-sig").splitlines()
    ]
    assert not [cell for line in cells for cell in line.split(",") if re.match(r'"?[=+@]', cell)]


def test_when_no_clinic_can_be_read_the_last_good_store_stays(ran, tmp_path):
    networks.write_network(tmp_path)
    write_clinic(tmp_path, "good", GOOD)
    store.build(load(tmp_path))
    before = (tmp_path / "store/cases.duckdb").read_bytes()
    (tmp_path / "clinics/good/exports/stays/stays.csv").write_bytes(b"")
    result = CliRunner().invoke(app, ["run", str(tmp_path)], env={"COLUMNS": "400"})
    assert result.exit_code == 1 and "no clinic could be read" in result.output
    assert (tmp_path / "store/cases.duckdb").read_bytes() == before
