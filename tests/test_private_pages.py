"""The pages that stay in the group, in a real browser: quiet, fitting, and nothing for axe to find."""

import pytest
from unsnag import cli_links, feedback, steward
from unsnag.workspace import load

PAGES = ("steward.html", "quennaby/feedback.html", "links.html")


@pytest.fixture(scope="module")
def private(demo):
    """The demo's private folder with the steward's page, the clinics' feedback and the doubtful links."""
    workspace = load(demo.folder)
    feedback.write_all(workspace)
    steward.write(workspace, 2024, changed=False)
    cli_links.links(demo.folder)
    return workspace.made("private")


def opened(browser, page, width):
    """The page at a width, with everything that it said or asked for."""
    tab = browser.new_page(viewport={"width": width, "height": 900})
    said = []
    tab.on("console", lambda message: said.append(message.text))
    tab.on("request", lambda request: said.append(request.url) if request.url.startswith("http") else None)
    tab.goto(page.as_uri())
    return tab, said


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("name", PAGES)
def test_a_private_page_is_quiet_and_fits(browser, private, name, width):
    tab, said = opened(browser, private / name, width)
    assert said == [] and tab.evaluate("document.documentElement.scrollWidth") == width
    tab.close()


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("name", PAGES)
def test_axe_finds_no_violation_on_a_private_page(browser, private, name, width):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    tab, _ = opened(browser, private / name, width)
    result = axe.Axe().run(tab)
    assert [violation["id"] for violation in result.response["violations"]] == []
    assert len(result.response["passes"]) > 10
    tab.close()
