"""A published edition is never written again, can be checked by anybody, and later runs say what changed and why."""

import hashlib
import shutil
import subprocess

import networks
import pytest
from unsnag import editions, run, store, workspace
from unsnag.errors import Problem

ROWS = """
    case_number,admission_date,species,cause,injury,gear,outcome,outcome_date
    1,2023-01-01,gull,fish hook,ingested,hook,released,2023-01-09
    2,2023-02-01,gull,fish hook,embedded,hook,died,2023-02-02
    3,2023-03-01,swan,fish hook,embedded,hook,released,2023-03-05
    """


def make(folder):
    """The store and the public database as they are now; the report is set only where a test reads it."""
    place = workspace.load(folder)
    store.build(place)
    run.analyse_and_publish(place, lambda what: None)
    return place


@pytest.fixture(scope="module")
def once(tmp_path_factory):
    """A small network whose report was made, and a copy of it whose report was published."""
    home = tmp_path_factory.mktemp("editions")
    folder = networks.write_network(home / "net", "[publication]\nminimum_clinics = 1\n")
    networks.write_clinic(folder, "north", ROWS)
    run.everything(workspace.load(folder), 2023, None, lambda what: None)
    shutil.copytree(folder, home / "published")
    run.publish_edition(workspace.load(home / "published"), 2023, "")
    return home


@pytest.fixture
def folder(once, tmp_path):
    return shutil.copytree(once / "published", tmp_path / "net")


@pytest.fixture
def published(folder):
    return editions.newest(workspace.load(folder), 2023)


def test_the_hashes_can_be_checked_with_sha256sum(published):
    checked = subprocess.run(
        ["sha256sum", "--check", "--quiet", "SHA256SUMS"], cwd=published.folder, check=False
    )
    assert checked.returncode == 0
    names = (published.folder / "SHA256SUMS").read_text().split()[1::2]
    assert {"report.html", "report.pdf", "manifest.json", "tables/release_rates.csv"} <= set(names)


def test_the_citation_names_the_version_which_is_the_hash_of_the_hashes(published):
    lines = (published.folder / "SHA256SUMS").read_text().splitlines()
    assert published.version == hashlib.sha256("\n".join(lines).encode()).hexdigest()[:12]
    assert published.version in (published.folder / "citation.txt").read_text()


def test_nothing_of_a_clinic_s_name_is_in_what_may_be_handed_on(published):
    for path in published.folder.rglob("*"):
        assert not path.is_file() or b"north" not in path.read_bytes(), path


def test_the_same_again_says_that_nothing_has_changed(folder, published):
    assert run.since(workspace.load(folder), 2023) == (
        f"Edition 1 of 2023 (version {published.version}) was published. Nothing has changed since.",
    )


def test_a_row_and_a_decision_that_changed_are_told_with_the_figures(folder, published):
    changed = ROWS.replace(
        "2,2023-02-01,gull,fish hook,embedded,hook,died", "2,2023-02-01,gull,fish hook,embedded,hook,released"
    )
    networks.write_clinic(
        folder, "north", changed + "    4,2023-04-01,gull,zonked,ingested,hook,died,2023-04-02\n"
    )
    (folder / "clinics" / "north" / "terms.csv").write_text(
        "field,term,code,decided,note\ncause,zonked,fishing_tackle,,\n"
    )
    changes = editions.since(make(folder), 2023)
    assert ("2023", "2 of 3", "3 of 4") in changes.figures
    assert {"1 case is new.", "1 case is changed."} <= set(changes.reasons)
    assert "Decisions changed: clinics' words, 1 file." in changes.reasons
    assert not any("program" in reason for reason in changes.reasons)


def test_a_case_that_is_gone_and_an_export_that_came_are_told(folder, published):
    networks.write_clinic(folder, "north", ROWS.replace("    3,", "    4,"))
    reasons = editions.since(make(folder), 2023).reasons
    assert "1 case is new." in reasons and "1 case is no longer there." in reasons
    assert "1 export file came in." in reasons and "1 export file of then is not used now." in reasons


def test_changed_code_is_told(folder, published, monkeypatch):
    monkeypatch.setattr("unsnag.editions.inputs.code_hash", lambda: "other")
    assert (
        "The program was changed within its version." in editions.since(workspace.load(folder), 2023).reasons
    )
    monkeypatch.setattr("unsnag.editions.inputs.__version__", "9.9")
    assert any("with 9.9 now" in reason for reason in editions.since(workspace.load(folder), 2023).reasons)


def test_the_report_says_what_has_changed(folder, published):
    networks.write_clinic(folder, "north", ROWS.replace("died", "euthanased"))
    run.report(make(folder), 2023, lambda what: None)
    assert "1 case is changed." in (folder / "out" / "2023" / "report.html").read_text(encoding="utf-8")


def test_a_second_edition_needs_a_reason_and_leaves_the_first(folder, published):
    before = (published.folder / "SHA256SUMS").read_bytes()
    place = workspace.load(folder)
    with pytest.raises(Problem, match="published already"):
        run.publish_edition(place, 2023, "")
    second = run.publish_edition(place, 2023, "a clinic's late export")
    assert second.number == 2 and (published.folder / "SHA256SUMS").read_bytes() == before


def test_a_report_that_is_not_of_this_store_is_not_published(once, tmp_path):
    folder = shutil.copytree(once / "net", tmp_path / "net")
    networks.write_clinic(folder, "north", ROWS.replace("died", "released"))
    place = workspace.load(folder)
    store.build(place)
    with pytest.raises(Problem, match="does not rest on"):
        run.publish_edition(place, 2023, "")


def test_a_year_without_a_report_is_not_published(once):
    with pytest.raises(Problem, match="has not been made"):
        run.publish_edition(workspace.load(once / "net"), 2022, "")
