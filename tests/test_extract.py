"""An extract is rows of public.cases, described so that a validator, R and a citation manager take it as it is."""

import csv
import hashlib
import json
import re
import shutil
from dataclasses import replace

import duckdb
import pytest
import yaml
from frictionless import Package
from test_codes import DARWIN_CORE
from typer.testing import CliRunner
from unsnag import cli
from unsnag.errors import Problem
from unsnag.share import cohorts
from unsnag.share.citing import citation
from unsnag.share.extract import FILES, write_extract

COHORT = "swallowed_hook_turtles"
# Citation File Format 1.2.0, schema-guide.md, "only the required keys" (READ, github citation-file-format).
CFF_REQUIRED = {"authors", "cff-version", "message", "title"}
# external_checks.md 7.3 (READ headings, frictionlessdata/datapackage commit 6a201af8), and the file patterns of the
# profiles 2.0 of the same repository (profiles/target/2.0, READ).
NAME = r"[-a-z0-9._/]+"
HASH = r"[^:]+:[a-fA-F0-9]+"
TYPES = {"string", "number", "integer", "boolean", "any"}


@pytest.fixture(scope="module")
def public(demo):
    return demo.folder / "out" / "public.duckdb"


@pytest.fixture(scope="module")
def made(public, tmp_path_factory):
    return write_extract(public, COHORT, tmp_path_factory.mktemp("extract") / "turtles", minimum=3)


@pytest.fixture(scope="module")
def described(made):
    return json.loads((made.folder / "datapackage.json").read_text(encoding="utf-8"))


def rows_of(path):
    return duckdb.sql(f"from '{path}'").fetchall()


def test_all_of_it_is_written(made):
    assert {path.name for path in made.folder.iterdir()} == set(FILES)


def test_it_holds_the_rows_of_public_cases_and_no_other(demo, made):
    there = rows_of(made.folder / "cases.parquet")
    members = f"select case_id from public.cohort_cases where cohort = '{COHORT}'"
    assert there == demo.public(f"from public.cases where case_id in ({members}) order by case_id")
    assert len(there) == made.described.cases > 50


def test_csv_and_parquet_hold_the_same(made):
    columns = duckdb.sql(f"describe from '{made.folder / 'cases.parquet'}'").fetchall()
    types = {name: kind for name, kind, *_ in columns}
    text = duckdb.sql(
        f"from read_csv('{made.folder / 'cases.csv'}', header = true, columns = {types})"
    ).fetchall()
    assert text == rows_of(made.folder / "cases.parquet")


def test_the_query_beside_it_gives_it_again(demo, made):
    assert demo.public((made.folder / "query.sql").read_text()) == rows_of(made.folder / "cases.parquet")


def test_frictionless_finds_it_valid(made):
    report = Package(str(made.folder / "datapackage.json")).validate()
    assert report.valid, report.flatten(["name", "type", "note"])
    assert [task.name for task in report.tasks][:2] == ["cases", "codes"] and report.tasks[0].stats[
        "rows"
    ] > 50


@pytest.mark.parametrize(
    ("column", "value", "error"),
    [
        ("outcome_code", "zonked", "constraint-error"), ("stay_days", "long", "type-error"),
        ("case_id", "", "primary-key"),
    ],
)  # fmt: skip
def test_frictionless_would_find_a_wrong_cell(made, tmp_path, column, value, error):
    """The enumerations, types and key are there and bite."""
    package = json.loads((made.folder / "datapackage.json").read_text())
    package["resources"] = [{**package["resources"][0], "hash": None, "bytes": None}]
    package["resources"][0] = {
        key: value for key, value in package["resources"][0].items() if value is not None
    }
    with (made.folder / "cases.csv").open(newline="") as stream:
        rows = list(csv.DictReader(stream))
    rows[3][column] = value
    with (tmp_path / "cases.csv").open("w", newline="") as stream:
        writer = csv.DictWriter(stream, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    (tmp_path / "datapackage.json").write_text(json.dumps(package))
    report = Package(str(tmp_path / "datapackage.json")).validate()
    assert error in {found.type for task in report.tasks for found in task.errors}


def test_the_package_says_what_version_2_requires(described):
    assert described["$schema"] == "https://datapackage.org/profiles/2.0/datapackage.json"
    assert re.fullmatch(NAME, described["name"]) and described["resources"]
    for resource in described["resources"]:
        assert re.fullmatch(NAME, resource["name"]) and re.fullmatch(HASH, resource["hash"])
        assert resource.get("type", "table") == "table" and not resource["path"].startswith(("/", "."))
    fields = described["resources"][0]["schema"]["fields"]
    assert {field["type"] for field in fields} <= TYPES and all(field["description"] for field in fields)


def test_the_hashes_are_those_of_the_files(made, described):
    for resource in (*described["resources"], described["unsnag:alsoAs"]):
        digest = hashlib.sha256((made.folder / resource["path"]).read_bytes()).hexdigest()
        assert resource["hash"] == f"sha256:{digest}"
    assert described["version"].endswith(described["resources"][0]["hash"].removeprefix("sha256:")[:12])


def test_darwin_core_iris_are_the_rdf_types(described):
    fields = {field["name"]: field.get("rdfType") for field in described["resources"][0]["schema"]["fields"]}
    assert fields["longitude"] == "http://rs.tdwg.org/dwc/terms/decimalLongitude"
    terms = {iri.rpartition("/")[2] for iri in fields.values() if iri}
    assert terms <= DARWIN_CORE | {"dataGeneralizations", "informationWithheld"} and len(terms) > 8


def test_every_code_is_in_the_list_beside_it(made):
    with (made.folder / "codes.csv").open(newline="", encoding="utf-8") as stream:
        known = {row["code"] for row in csv.DictReader(stream) if row["vocabulary"] == "species"}
    there = duckdb.sql(f"select distinct species_code from '{made.folder / 'cases.parquet'}'").fetchall()
    assert {code for (code,) in there if code} <= known


def test_it_can_be_cited(made):
    cited = yaml.safe_load((made.folder / "CITATION.cff").read_text(encoding="utf-8"))
    assert set(cited) >= CFF_REQUIRED and cited["cff-version"] == "1.2.0" and cited["type"] == "dataset"
    assert cited["version"] == made.described.version and cited["authors"] == [
        {"name": made.described.network}
    ]
    assert re.fullmatch(r"\d{4}-\d\d-\d\d", cited["date-released"])


def test_the_licence_stands_wherever_the_rows_are_described(demo, made, described):
    """data_demo/network.toml, [use]."""
    cited = yaml.safe_load((made.folder / "CITATION.cff").read_text(encoding="utf-8"))
    assert cited["license"] == "CC-BY-4.0" and cited["contact"][0]["email"] == "data@tolvessa-rescue.example"
    assert described["licenses"] == [
        {"name": "CC-BY-4.0", "title": "CC BY 4.0", "path": "https://creativecommons.org/licenses/by/4.0/"}
    ]
    read_me = " ".join((made.folder / "README.txt").read_text(encoding="utf-8").split())
    page = (demo.folder / "out" / "codebook.html").read_text(encoding="utf-8")
    for said in (read_me, page, described["description"], cited["message"]):
        assert "CC BY 4.0 (https://creativecommons.org/licenses/by/4.0/)" in said
        assert "Tell the network what you publish from them." in said and "published cases, as of 20" in said
        assert "Do not try to find out who the clinics, people or places are" in said


def test_the_program_is_cited_with_what_a_reference_requires(made):
    """Citation File Format 1.2.0, schema-guide.md: a reference needs authors, title and type."""
    cited = yaml.safe_load((made.folder / "CITATION.cff").read_text(encoding="utf-8"))
    (program,) = cited["references"]
    assert set(program) >= {"authors", "title", "type"} and program["title"] == "unsnag"


def test_what_a_version_and_its_day_are_is_said_beside_them(made):
    text = (made.folder / "CITATION.cff").read_text(encoding="utf-8").splitlines()
    for key, words in (("version", "SHA-256 of cases.csv"), ("date-released", "as of which the cases stood")):
        (line,) = (number for number, line in enumerate(text) if line.startswith(f"{key}: "))
        assert text[line - 1].startswith(f"# {key}: ") and words in text[line - 1]


def test_a_network_that_states_no_licence_is_to_be_asked(made):
    about = made.described.about | dict.fromkeys(("licence", "licence_id", "licence_url", "contact"))
    cited = yaml.safe_load(citation(replace(made.described, about=about)))
    assert not {"license", "license-url", "contact"} & set(cited) and set(cited) >= CFF_REQUIRED


def test_a_licence_without_an_identifier_is_cited_by_its_address(made):
    cited = yaml.safe_load(
        citation(replace(made.described, about=made.described.about | {"licence_id": None}))
    )
    assert cited["license-url"] == "https://creativecommons.org/licenses/by/4.0/" and "license" not in cited


def test_small_groups_are_counted_by_hand(made):
    with (made.folder / "small_groups.csv").open(newline="") as stream:
        told = {row["known"]: row for row in csv.DictReader(stream)}
    with (made.folder / "cases.csv").open(newline="") as stream:
        cases = list(csv.DictReader(stream))
    for known, row in told.items():
        keys = [tuple(case[column] for column in known.split()) for case in cases]
        sizes = {key: keys.count(key) for key in keys}
        few = sum(size for size in sizes.values() if size < 3)
        assert (int(row["groups"]), int(row["cases_in_smaller_groups"])) == (len(sizes), few)


def test_the_same_cases_give_the_same_bytes(public, made, tmp_path):
    again = write_extract(public, COHORT, tmp_path / "again", minimum=3)
    for name in FILES:
        assert (again.folder / name).read_bytes() == (made.folder / name).read_bytes(), name


def test_every_network_has_its_tackle_cases(demo, public, tmp_path):
    made = write_extract(public, cohorts.TACKLE, tmp_path / "tackle", minimum=3)
    assert [(made.described.cases,)] == demo.public("select count(*) from public.cases where is_tackle")


def test_a_folder_with_other_things_is_left_alone(public, tmp_path):
    (tmp_path / "diary.txt").write_text("mine")
    with pytest.raises(Problem, match="holds other things"):
        write_extract(public, COHORT, tmp_path, minimum=3)
    assert [path.name for path in tmp_path.iterdir()] == ["diary.txt"]


def test_a_cohort_that_is_not_there_is_a_slip(demo, tmp_path):
    shown = CliRunner().invoke(
        cli.app, ["extract", str(demo.folder), "swalowed_hook_turtles", "--to", str(tmp_path / "x")]
    )
    assert shown.exit_code == 1 and f"Did you mean '{COHORT}'?" in shown.output
    assert not (tmp_path / "x").exists()


def test_a_cohort_that_may_not_be_listed_is_refused(public, tmp_path):
    silent = shutil.copy(public, tmp_path / "silent.duckdb")
    with duckdb.connect() as connection:
        connection.execute(f"attach '{silent}' as pooled; use pooled; delete from public.cohort_cases")
    with pytest.raises(Problem, match="none of its cases may be listed"):
        write_extract(silent, COHORT, tmp_path / "x", minimum=3)
    assert not (tmp_path / "x").exists()


def test_an_extract_that_may_be_short_says_so_wherever_it_is_described(public, tmp_path):
    made = write_extract(public, "entangled_birds_2021_to_2023", tmp_path / "birds", minimum=3)
    withheld = sum(row[3] for row in rows_of(made.folder / "flow.csv"))
    said = f"{withheld} cases are not in because a code that decides it is withheld"
    assert withheld > 1 and said in made.described.sentence
    for name in ("datapackage.json", "CITATION.cff"):
        assert said in " ".join((made.folder / name).read_text(encoding="utf-8").split()), name


def test_the_command_says_what_it_wrote(demo, tmp_path):
    shown = CliRunner().invoke(cli.app, ["extract", str(demo.folder), COHORT, "--to", str(tmp_path / "x")])
    assert shown.exit_code == 0, shown.output
    said = " ".join(shown.output.split())
    assert "Turtles with a swallowed hook" in said and "cite it as CITATION.cff says" in said
    assert "the first 12 signs of the SHA-256 of cases.csv" in said and "Licence: CC BY 4.0" in said
    assert re.search(
        r"\d+ of \d+ cases are alike in admission year, admission quarter, species with fewer than 3", said
    )
