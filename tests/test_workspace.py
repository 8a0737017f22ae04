"""Slips in a workspace's files: all of them shown at once, each with its file, line or key, and what to do."""

from pathlib import Path

import networks
import pytest
from unsnag.errors import Problems, UnsnagError, render
from unsnag.workspace import load

CLINIC = """
    timezone = "Australia/Brisbane"
    [[source]]
    name = "stays"
    files = "exports/*.csv"
    export_date = 2024-01-31
    [source.stay]
    case_number = "no"
    admission_date = "in"
    """


@pytest.fixture
def folder(tmp_path):
    """A workspace without a slip."""
    networks.write_network(tmp_path)
    networks.write_text(tmp_path / "clinics" / "north" / "clinic.toml", CLINIC)
    return tmp_path


def problems(folder):
    with pytest.raises(UnsnagError) as caught:
        load(folder)
    found = caught.value
    return list(found.problems) if isinstance(found, Problems) else [found]


def only_problem(folder):
    (problem,) = problems(folder)
    assert problem.remedy, "a problem without a remedy helps nobody"
    return render(problem)


def edit(folder, old, new):
    path = folder / "clinics" / "north" / "clinic.toml"
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new))


def terms(folder, text, encoding="utf-8"):
    path = folder / "clinics" / "north" / "terms.csv"
    path.write_bytes(text.encode(encoding))
    return path


def test_a_workspace_without_a_slip_loads_into_frozen_objects(folder):
    terms(folder, "field,term,code,decided,note\ncause,car,vehicle,2024-01-01,\ninjury,car,cause:vehicle,,\n")
    workspace = load(folder)
    assert [clinic.name for clinic in workspace.clinics] == ["north"]
    assert [(term.axis, term.code, term.line) for term in workspace.terms] == [
        ("cause", "vehicle", 2),
        ("cause", "vehicle", 3),
    ]
    with pytest.raises(ValueError, match="frozen"):
        workspace.network.name = "another"


SLIPS_OF_A_CLINIC = {
    "unknown key": ('name = "stays"', 'name = "stays"\nfile = "x"', ["source.1.file", "'files'"]),
    "misspelt field": ('case_number = "no"', 'case_numbr = "no"', ["case_numbr", "case_number"]),
    "bad zone": ("Australia/Brisbane", "Brisbane", ["key timezone", "Brisbane", "IANA"]),
    "no export date": ("export_date = 2024-01-31", "", ["source.1", "export_date"]),
    "bad order": ("export_date", 'date_order = "day"\nexport_date', ["source.1.date_order", "'dmy'"]),
    "no source": ("[[source]]", "[[sources]]", ["key sources", "'source'", "key source:"]),
    "two origins": ('"no"', '{ column = "no", constant = "x" }', ["case_number", "exactly one"]),
    "no number": ('case_number = "no"', "", ["stay", "case_number"]),
    "no day": ('admission_date = "in"', "", ["stay", 'Write admission_date = "heading of its column"']),
    "a unit of no mass": ('"in"', '{ column = "in", unit = "kg" }', ["admission_date", "only a mass"]),
    "a unit nobody knows": ('"in"', '"in"\nmass = { column = "w", unit = "stone" }', ["mass", "unit"]),
    "a key that no cell has": (
        '"in"',
        '"in"\nlatitude = { column = "w", xyz = "{latitude}" }',
        ["latitude.xyz: there is no such key", "column, constant, first_of, join, separator, unit, year_of"],
    ),
    "a misspelt key of a cell": ('"in"', '{ colum = "in" }', ["colum: there is no such key", "'column'"]),
    "a key that no facts have": (
        '"in"',
        '"in"\n[[source.finding]]\nfacts = { column = "f", form = "{finding}", xyz = 1 }',
        ["facts.xyz: there is no such key", "between, column, form"],
    ),
    "rows chosen in a stay": ('"in"', '"in"\nwhere = { kind = ["x"] }', ["stay", "only"]),
    "nameless procedure": ('"in"', '"in"\n[[source.procedure]]\nprocedure_date = "d"', ["procedure"]),
    "repeat of nothing": (
        '"in"',
        '"in"\n[[source.procedure]]\nrepeat = 1.5\nprocedure = "p {n}"',
        ["repeat"],
    ),
    "legend of no field": ('"in"', '"in"\n[legend.outcom]\n1 = "Released"', ["legend", "outcom", "outcome"]),
    "legend of a number": ('"in"', '"in"\n[legend.outcome]\n1 = 2', ["legend.outcome.1", "string"]),
    "broken TOML": ('"in"', '"in', ["cannot be read", "line"]),
    "not a table": ('[source.stay]\ncase_number = "no"\nadmission_date = "in"', "stay = 3", ["source.stay"]),
}


@pytest.mark.parametrize(("old", "new", "said"), SLIPS_OF_A_CLINIC.values(), ids=SLIPS_OF_A_CLINIC)
def test_a_slip_in_clinic_toml_is_said_with_its_key_and_remedy(folder, old, new, said):
    edit(folder, old, new)
    found = problems(folder)
    shown = render(Problems(found))
    assert all("clinics/north/clinic.toml" in problem.who and problem.remedy for problem in found)
    assert [word for word in said if word not in shown] == []


def test_one_table_of_procedures_may_be_written_as_a_table(folder):
    edit(folder, '"in"', '"in"\n[source.procedure]\nprocedure = "did"')
    assert len(load(folder).clinics[0].source[0].procedure) == 1


SLIPS_OF_THE_NETWORK = {
    "unknown key": ("horizon = 3", ["key horizon", "'horizon_days'"]),
    "year": ('year_starts = "02-30"', ["year_starts", "07-01"]),
    "leap day": ('year_starts = "02-29"', ["year_starts"]),
    "region": ("[region]\nsouth = 1\nnorth = -1", ["region", "south"]),
    "floor": ("[publication]\nminimum_clinics = 0", ["publication.minimum_clinics"]),
    "licence without a text": ('[use]\nlicence = "CC BY 4.0"', ["key use", "licence_url"]),
    "identifier without a licence": ('[use]\nlicence_id = "CC-BY-4.0"', ["key use", "licence_url"]),
    "contact": ('[use]\ncontact = "ring us"', ["key use.contact", "'ring us' is not an e-mail address"]),
    "misspelt licence": ('[use]\nlicense = "CC0"', ["use.license", "'licence'"]),
    "misspelt floor": ("[publication]\nminimum_clinic = 2", ["minimum_clinic", "'minimum_clinics'"]),
}


@pytest.mark.parametrize(("settings", "said"), SLIPS_OF_THE_NETWORK.values(), ids=SLIPS_OF_THE_NETWORK)
def test_a_slip_in_network_toml_is_said_with_its_key_and_remedy(folder, settings, said):
    networks.write_network(folder, settings)
    shown = only_problem(folder)
    assert "network.toml" in shown
    assert [word for word in said if word not in shown] == []


SLIPS_OF_TERMS = {
    "wrong code": ("cause,car,vehicel", ["line 2", "vehicel", "'vehicle'"]),
    "wrong field": ("caus,car,vehicle", ["line 2", "caus", "'cause'"]),
    "wrong axis": ("cause,car,injry:ingested", ["line 2", "injry", "'injury'"]),
    "no code": ("cause,car,", ["line 2", "code"]),
    "no term": ("cause,,vehicle", ["line 2", "term"]),
    "bad day": ("cause,car,vehicle,31/1/2024,", ["line 2", "31/1/2024", "2024-07-05"]),
    "two codes": ("cause,car,vehicle\ncause,  CÁR ,other", ["lines 2 and 3", "vehicle", "other"]),
}


@pytest.mark.parametrize(("rows", "said"), SLIPS_OF_TERMS.values(), ids=SLIPS_OF_TERMS)
def test_a_slip_in_terms_csv_is_said_with_its_line_and_remedy(folder, rows, said):
    terms(folder, f"field,term,code,decided,note\n{rows}\n")
    shown = only_problem(folder)
    assert "clinics/north/terms.csv" in shown
    assert [word for word in said if word not in shown] == []


@pytest.mark.parametrize(
    ("text", "encoding", "said"),
    [
        ("field,term\ncause,car\n", "utf-8", "code"),
        ("field,term,code\ncause,Atropelló,vehicle\n", "windows-1252", "UTF-8"),
        ('field,term,code\ncause,"car,vehicle\n', "utf-8", "line 2"),
    ],
)
def test_a_terms_csv_that_cannot_be_read_is_said(folder, text, encoding, said):
    terms(folder, text, encoding)
    shown = only_problem(folder)
    assert "clinics/north/terms.csv" in shown and said in shown


def test_a_folder_without_clinic_toml_is_asked_and_not_left_out_in_silence(folder):
    (folder / "clinics" / "south").mkdir()
    assert "clinics/south" in only_problem(folder)


@pytest.mark.parametrize("name", ["Marsh Lane", "a__b", "9lives"])
def test_a_clinic_folder_needs_a_plain_name(folder, name):
    networks.write_text(folder / "clinics" / name / "clinic.toml", CLINIC)
    shown = only_problem(folder)
    assert name in shown and "folder" in shown


def test_a_missing_or_empty_secret_is_asked_for(folder):
    key = folder / "decisions" / "pseudonyms.key"
    key.write_text("  \n")
    assert "pseudonyms.key" in only_problem(folder)
    key.unlink()
    assert "pseudonyms.key" in only_problem(folder)


def test_a_folder_that_is_no_workspace_says_how_to_make_one(tmp_path):
    assert "unsnag demo" in only_problem(tmp_path / "nowhere")


def test_a_workspace_without_clinics_says_so(tmp_path):
    assert "clinic" in only_problem(networks.write_network(tmp_path))


def test_all_slips_of_all_files_are_shown_together(folder):
    """Each file of two clinics has one or more slips; the steward mends them in one go."""
    networks.write_network(folder, "horizon = 3\n")
    (folder / "decisions" / "pseudonyms.key").unlink()
    edit(folder, "Australia/Brisbane", "Brisbane")
    edit(folder, 'files = "exports/*.csv"', 'file = "exports/*.csv"')
    terms(folder, "field,term,code\ncause,car,vehicel\ncaus,car,vehicle\n")
    networks.write_text(folder / "clinics" / "south" / "clinic.toml", CLINIC.replace('"no"', '"no'))
    found = problems(folder)
    files = [Path(problem.who.partition(",")[0]).relative_to(folder).as_posix() for problem in found]
    assert sorted(files) == [
        "clinics/north/clinic.toml",
        "clinics/north/clinic.toml",
        "clinics/north/clinic.toml",
        "clinics/north/terms.csv",
        "clinics/north/terms.csv",
        "clinics/south/clinic.toml",
        "decisions/pseudonyms.key",
        "network.toml",
    ]
    assert all(problem.remedy for problem in found)
    assert render(Problems(found)).endswith("8 problems.")
