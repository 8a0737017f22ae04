"""The report as a page: self-contained, accessible, the same bytes, and right in a real browser."""

import re
import shutil
import subprocess
from html.parser import HTMLParser

import pandas
import pytest
from conftest import skip_unless_ci
from report_frames import all_tables, readable_tables, write_database
from unsnag import resources
from unsnag.report import content, html, write_report, write_tables, writing
from unsnag.report.own_words import OwnWords
from unsnag.report.pictures import page_svg
from unsnag.report.published import Published

DASHBOARDS = resources.folder("dashboards")
OUTLINE = content.plan(DASHBOARDS)


class Elements(HTMLParser):
    """The start tags of a page, in order, with the text of its sentences."""

    def __init__(self, page):
        super().__init__()
        self.tags, self.text = [], []
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data):
        self.text.append(data)

    def all(self, name):
        return [attributes for tag, attributes in self.tags if tag == name]


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """The report of all tables with its CSV files, written once."""
    folder = tmp_path_factory.mktemp("report")
    database = write_database(folder / "public.duckdb", all_tables())
    write_report(database, 2023, folder / "2023")
    write_tables(database, folder / "2023")
    return folder / "2023"


@pytest.fixture(scope="module")
def page(folder):
    return (folder / "report.html").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def elements(page):
    return Elements(page)


def small(own=None, **replaced):
    """The page of one section, quick to make."""
    outline = OUTLINE | {
        "section": [part for part in OUTLINE["section"] if part["key"] in ("numbers", "data")]
    }
    release = Published(readable_tables() | replaced, words=OUTLINE["words"])
    report = content.compose(outline, release, 2023, own)
    return html.render(report, writing.draw(report, DASHBOARDS), DASHBOARDS)


def test_page_runs_no_script_and_asks_for_nothing(page, elements):
    assert not elements.all("script") and not elements.all("link") and not elements.all("img")
    addresses = set(re.findall(r'https?://[^"\s<)]+', page))
    assert addresses <= {"http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink"}  # names, not requests
    assert not [name for _, attributes in elements.tags for name in attributes if name.startswith("on")]


def test_page_is_small(page):
    assert len(page.encode()) < 5_000_000


def test_page_has_its_landmarks_one_title_and_a_skip_link(elements):
    for name in ("header", "nav", "main", "footer", "h1"):
        assert len(elements.all(name)) == 1
    skip = next(attributes for attributes in elements.all("a"))
    assert skip["href"] == f"#{elements.all('main')[0]['id']}"
    assert elements.all("html")[0]["lang"] == "en-GB"


def test_contents_lead_to_every_section(elements):
    ids = {attributes["id"] for _, attributes in elements.tags if "id" in attributes}
    links = [a["href"][1:] for a in elements.all("a") if a["href"].startswith("#")]
    assert set(links) <= ids
    assert {part["key"] for part in OUTLINE["section"]} <= set(links)


def test_every_table_has_a_caption_and_scoped_headings(elements):
    assert len(elements.all("caption")) == len(elements.all("table")) > 10
    assert all(th.get("scope") in ("row", "col") for th in elements.all("th"))


def test_every_picture_is_drawn_twice_and_described(elements):
    drawings = [a for a in elements.all("svg") if a.get("class") == "drawing"]
    charts = sum("chart" in view for part in OUTLINE["section"] for view in part.get("view", []))
    assert len(drawings) == 2 * charts
    assert all(a["role"] == "img" and len(a["aria-label"]) > 40 for a in drawings)


def test_no_id_stands_twice(elements):
    ids = [attributes["id"] for _, attributes in elements.tags if "id" in attributes]
    assert len(ids) == len(set(ids))


def test_every_link_to_a_file_has_its_file(elements, folder):
    files = {a["href"] for a in elements.all("a") if not a["href"].startswith("#")}
    assert files == {f"tables/{name}.csv" for name in all_tables()}
    assert all((folder / file).is_file() for file in files)


def test_headline_stands_in_prose_fact_and_table(elements):
    text = " ".join(elements.text)
    assert text.count("76.9") >= 4
    assert "100 of 130" in text


def test_same_rows_give_the_same_bytes():
    assert small() == small()


def test_invented_data_is_said_and_real_data_is_not_called_so():
    about = all_tables()["about"]
    real = about.assign(value=about["value"].where(about["key"] != "invented", "false"))
    assert "Invented data." in small()
    assert "Invented data." not in small(about=real)


def test_words_from_the_data_cannot_become_markup():
    about = all_tables()["about"]
    hostile = about.assign(
        value=about["value"].where(about["key"] != "network_name", "<script>x</script>{0}")
    )
    assert "<script>" not in small(about=hostile)
    assert "&lt;script&gt;x&lt;/script&gt;{0}" in small(about=hostile)


def test_labels_in_pictures_cannot_become_markup():
    svg = page_svg('<svg viewBox="0 0 1 2"><g id="a"/></svg>', "key", 'a "quoted" <b>')
    assert '<g id="key-a"/>' in svg
    assert "aria-label='a \"quoted\" &lt;b&gt;'" in svg


def test_group_puts_its_own_words_in():
    sign = ("logo.svg", b"<svg xmlns='http://www.w3.org/2000/svg'/>")
    story = ("A swan", ("It came.", "It went."))
    page = small(OwnWords(("First.", "Second & last."), "Write to us.", sign, (story,)))
    assert "<p>First.</p>" in page and "<p>Second &amp; last.</p>" in page
    assert "<p>Write to us.</p>" in page and 'src="data:image/svg+xml;base64,' in page
    assert "<h3>A swan</h3>\n<p>It came.</p>\n<p>It went.</p>" in page and 'href="#stories"' in page
    assert "Foreword" not in small() and "Stories of the year" not in small()


def test_parts_left_out_are_named_on_the_page():
    page = small(cases=readable_tables()["cases"][:0])
    assert "What this report leaves out" in page
    assert "this release has no rows in the table “cases”" in page
    assert "What this report leaves out" not in small()


def test_typefaces_and_their_licences_ship_and_stay_small():
    fonts = DASHBOARDS / "fonts"
    assert {file for *_, file in html.FACES} == {path.name for path in fonts.glob("*.ttf")}
    assert sum(path.stat().st_size for path in fonts.iterdir()) < 400_000
    assert all(
        "SIL OPEN FONT LICENSE" in (fonts / f"OFL-{kind}.txt").read_text() for kind in ("sans", "serif")
    )


def opened(browser, folder, width):
    """The page at a width, with everything that it said or asked for."""
    tab = browser.new_page(viewport={"width": width, "height": 900})
    said = []
    tab.on("console", lambda message: said.append(message.text))
    tab.on("request", lambda request: said.append(request.url) if request.url.startswith("http") else None)
    tab.goto((folder / "report.html").as_uri())
    return tab, said


@pytest.mark.parametrize("width", [390, 1280])
def test_page_in_a_browser_is_quiet_fits_and_shows_one_drawing_each(browser, folder, width):
    tab, said = opened(browser, folder, width)
    assert said == []
    assert tab.evaluate("document.documentElement.scrollWidth") == width
    shown = tab.locator("svg.drawing:visible").count()
    assert shown * 2 == tab.locator("svg.drawing").count() > 20
    assert tab.evaluate("document.fonts.check('16px \"Unsnag Sans\"')")


@pytest.mark.parametrize("width", [390, 1280])
def test_axe_finds_no_violation(browser, folder, width):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    tab, _ = opened(browser, folder, width)
    result = axe.Axe().run(tab)
    assert [violation["id"] for violation in result.response["violations"]] == []
    assert len(result.response["passes"]) > 10


def test_keyboard_reaches_the_report_by_the_skip_link(browser, folder):
    tab, _ = opened(browser, folder, 1280)
    tab.keyboard.press("Tab")
    assert tab.evaluate("document.activeElement.className") == "skip"
    tab.keyboard.press("Enter")
    assert tab.evaluate("location.hash") == "#report"


def test_print_on_a4_holds_the_headline_and_the_folded_tables(browser, folder, tmp_path):
    if not shutil.which("pdftotext"):
        skip_unless_ci("pdftotext is not installed")
    tab, _ = opened(browser, folder, 1280)
    tab.pdf(path=str(tmp_path / "report.pdf"), prefer_css_page_size=True)
    text = subprocess.run(
        ["pdftotext", "-layout", tmp_path / "report.pdf", "-"], capture_output=True, text=True
    )
    assert "100 of 130" in text.stdout
    assert "30.1 to 38.9" in text.stdout  # the limits of a share, in a table that is folded on the screen
    assert pandas.Series(text.stdout.split("\f")).str.strip().ne("").sum() > 5
