"""The explorer in a real browser: quiet, usable by keyboard, and its figures are the published ones."""

import itertools
import json
import re

import pytest
from unsnag import resources
from unsnag.likeness import AXES, likeness
from unsnag.report import content, explorer, published
from unsnag.report.published import Published
from unsnag_charts import numbers

DASHBOARDS = resources.folder("dashboards")
OUTLINE = content.plan(DASHBOARDS)
SEVERITIES = OUTLINE["order"]["severity"]
# Animals in every mixture of common and rare; what is rare has to fall back on a wider group.
ASKED = [
    dict(zip(AXES, codes, strict=True))
    for codes in itertools.product(
        ("ingested", "embedded"), ("oesophagus", "wing"), ("sea_turtle", "raptor"), ("mild", "critical")
    )
]


@pytest.fixture(scope="module")
def release(demo):
    return published.read(demo.folder / "out" / "public.duckdb", OUTLINE["words"])


@pytest.fixture(scope="module")
def page(release, tmp_path_factory):
    path = tmp_path_factory.mktemp("explorer") / "explorer.html"
    return explorer.write_explorer(release, SEVERITIES, DASHBOARDS, path)


def opened(browser, page, choice="", width=1280):
    """The page with a choice in its address, and everything that it said or asked for."""
    tab = browser.new_page(viewport={"width": width, "height": 900})
    said = []
    tab.on("console", lambda message: said.append(message.text))
    tab.on("pageerror", lambda error: said.append(str(error)))
    tab.on("request", lambda request: said.append(request.url) if request.url.startswith("http") else None)
    tab.goto(page.as_uri() + choice)
    return tab, said


def address(asked):
    return "#" + "&".join(f"{axis}={code}" for axis, code in asked.items())


def test_the_page_is_small_and_the_same_again(page, release, tmp_path):
    again = explorer.write_explorer(release, SEVERITIES, DASHBOARDS, tmp_path / "explorer.html")
    assert again.read_bytes() == page.read_bytes() and len(page.read_bytes()) < 5_000_000


@pytest.mark.parametrize("width", [390, 1280])
def test_the_page_is_quiet_and_fits(browser, page, width):
    tab, said = opened(browser, page, address(ASKED[0]), width)
    assert said == [] and tab.evaluate("document.documentElement.scrollWidth") == width
    assert tab.locator("#result svg").count() >= 2
    tab.close()


def test_every_answer_is_the_published_one(browser, page, demo):
    """The nearest group is found a second time, in SQL, by the command's own way."""
    tab, _ = opened(browser, page)
    for asked in ASKED:
        tab.goto(page.as_uri() + address(asked))
        group = likeness(demo.folder / "out" / "public.duckdb", asked).group
        text = tab.locator("#result").inner_text()
        known = group["released"] + group["died"] + group["euthanased"]
        assert f"{numbers.count(group['animals'])} animals came alive, to {group['clinics']} clinics" in text
        assert f"{numbers.count(group['released'])} of {numbers.count(known)} whose ending is known" in text
        assert numbers.percent(group["percent_released"]) in text
    tab.close()


def test_a_wider_group_is_said_to_be_one(browser, page, demo):
    asked = {"injury": "embedded", "body_site": "oesophagus", "taxon_group": "raptor", "severity": "critical"}
    dropped = likeness(demo.folder / "out" / "public.duckdb", asked).dropped
    tab, _ = opened(browser, page, address(asked))
    note = tab.locator("#result .note").inner_text()
    names = [axis.replace("_", " ").replace("taxon group", "kind of animal") for axis in dropped]
    assert dropped and all(name in note for name in names) and "nearest wider group" in note
    tab.close()


def test_treatments_are_worded_as_no_comparison_and_point_to_the_planned_one(browser, page):
    tab, _ = opened(browser, page, "#injury=ingested")
    text = tab.locator("#result").inner_text()
    assert "not what the treatment did" in text
    assert tab.locator("#result a[href='report.html#effects']").count() > 0
    tab.close()


def test_keyboard_alone_changes_the_answer_and_the_address_keeps_it(browser, page):
    tab, _ = opened(browser, page)
    before = tab.locator("#result h2").inner_text()
    tab.locator("#injury").focus()
    tab.keyboard.type("Swallowed")
    tab.keyboard.press("Tab")
    assert tab.evaluate("location.hash") == "#injury=ingested"
    assert before != tab.locator("#result h2").inner_text() == "Swallowed"
    assert tab.locator("[role=status]").inner_text().startswith("Swallowed: ")
    tab.locator("#clear").press("Enter")
    assert tab.locator("#result h2").inner_text() == before and tab.evaluate("location.hash") == ""
    tab.close()


def test_an_address_with_nonsense_asks_for_nothing(browser, page):
    tab, said = opened(browser, page, "#injury=<b>&severity=zz&year=1")
    assert tab.locator("#result h2").inner_text() == "All animals injured by tackle" and said == []
    tab.close()


@pytest.mark.parametrize("width", [390, 1280])
def test_axe_finds_no_violation(browser, page, width):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    tab, _ = opened(browser, page, address(ASKED[0]), width)
    result = axe.Axe().run(tab)
    assert [violation["id"] for violation in result.response["violations"]] == []
    tab.close()


def test_no_label_ends_the_element_of_the_rows(browser, release, tmp_path):
    frames = dict(release.frames)
    group = frames["outcomes_by_treatment"]
    frames["outcomes_by_treatment"] = group.assign(treatment_label="</script><img src=x onerror=alert(1)>")
    path = explorer.write_explorer(
        Published(frames, words=OUTLINE["words"]), SEVERITIES, DASHBOARDS, tmp_path / "x.html"
    )
    rows = re.search(r'id="rows">(.*?)</script>', path.read_text(encoding="utf-8"), re.DOTALL)[1]
    assert json.loads(rows)["treated"][0]["label"].startswith("</script>")
    tab, said = opened(browser, path, "#injury=ingested")
    assert said == [] and tab.locator("#result img").count() == 0
    tab.close()


def test_a_release_without_the_groups_has_no_explorer(tmp_path):
    assert explorer.write_explorer(Published({}), SEVERITIES, DASHBOARDS, tmp_path / "x.html") is None
