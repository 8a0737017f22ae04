"""The report on paper: tagged, the same bytes, the same figures as the page, nothing left out."""

import re
import shutil
import subprocess

import pytest
from conftest import skip_unless_ci
from report_frames import readable_tables
from unsnag import resources
from unsnag.report import content, pdf, writing
from unsnag.report.own_words import OwnWords
from unsnag.report.published import Published
from unsnag.report.tables import Column

DASHBOARDS = resources.folder("dashboards")
OUTLINE = content.plan(DASHBOARDS)
OWN = OwnWords(("Our foreword.",), "Write to us.", None, (("A swan", ("It came.",)),))


def report(**replaced):
    """The report of all typed tables, with the group's own words."""
    tables = readable_tables() | replaced
    return content.compose(OUTLINE, Published(tables, words=OUTLINE["words"]), 2023, OWN)


@pytest.fixture(scope="module")
def drawn():
    return writing.draw(report(), DASHBOARDS)


@pytest.fixture(scope="module")
def written(tmp_path_factory, drawn):
    return pdf.write_pdf(report(), drawn, DASHBOARDS, tmp_path_factory.mktemp("pdf") / "report.pdf")


@pytest.fixture(scope="module")
def text(written):
    """What a reader by ear hears: the PDF's text in its order, blanks and line ends as single blanks."""
    return plain(run("pdftotext", written, "-"))


def run(program, *arguments):
    """What a program of poppler-utils says of a PDF."""
    if shutil.which(program) is None:
        skip_unless_ci(f"{program} is not installed (Debian package poppler-utils)")
    return subprocess.run(
        [program, *arguments], capture_output=True, check=True, text=True, errors="replace"
    ).stdout


def plain(words):
    """Words as pdftotext gives them: thin and figure blanks are blanks."""
    return " ".join(words.split())


def test_two_settings_give_the_same_bytes(written, drawn, tmp_path):
    again = pdf.write_pdf(report(), drawn, DASHBOARDS, tmp_path / "again.pdf")
    assert again.read_bytes() == written.read_bytes()


def test_pdf_is_tagged_titled_and_says_its_language(written):
    """PDF/UA-1 (ISO 14289-1) asks for it; Typst refuses to write the file where a picture has no description."""
    found = written.read_bytes()
    assert b"pdfuaid:part" in found and b"/MarkInfo" in found and b"/StructTreeRoot" in found
    assert b"/Lang(en-GB)" in found.replace(b"/Lang (", b"/Lang(")


def test_every_sentence_and_figure_of_the_content_is_in_the_pdf(text):
    for section in report().sections:
        said = [finding.text for finding in (*section.lead, *section.findings)]
        said += [fact.value for fact in section.facts] + [
            section.title,
            *(view.title for view in section.views),
        ]
        assert [words for words in said if plain(words) not in text] == []


def test_every_cell_of_every_table_is_in_the_pdf_but_of_those_longer_than_a_page(text):
    views = [view for part in report().sections for view in part.views if view.table]
    tables = [view.table for view in views if len(view.table.rows) <= pdf.LONGEST]
    cells = {cell for table in tables for row in table.rows for cell in row}
    assert len(cells) > 100 and [cell for cell in cells if plain(cell) not in text] == []
    assert all(
        f"The {len(view.table.rows)} rows behind it" in text for view in views if view.table not in tables
    )


def test_the_group_s_own_words_are_set(text):
    assert "Our foreword." in text and "Write to us." in text and "A swan It came." in text


def test_structure_has_every_picture_and_every_table(written, drawn):
    """Typst refuses to write PDF/UA-1 where a picture has no description."""
    tree = run("pdfinfo", "-struct", written)
    views = [view for part in report().sections for view in part.views if view.table]
    tables = [view.table for view in views if len(view.table.rows) <= pdf.LONGEST]
    assert len(re.findall(r"^\s*Figure:?", tree, re.MULTILINE)) == len(drawn)
    assert len(re.findall(r"^\s*Table ", tree, re.MULTILINE)) == len(tables)
    assert len(re.findall(r"^\s*THead", tree, re.MULTILINE)) == len(tables)


def test_a_column_of_figures_is_headed_no_wider_than_its_cells():
    broken = pdf._broken(Column("95 % interval (exact)", "interval", ()), 8)
    assert broken == "95 %\ninterval\n(exact)"
