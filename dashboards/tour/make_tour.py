"""Make the pictures of README.md from a demo that was run: python dashboards/tour/make_tour.py unsnag-demo

Needs Chromium and Playwright (the test extra). Pictures are made by hand after a change of look, not on every run;
tests/test_tour.py checks that each stands in README.md, is small, and shows a page that a run still makes.
"""

import sys
from pathlib import Path

from playwright.sync_api import sync_playwright

FOLDER = Path(__file__).resolve().parent
WIDTH, HEIGHT = 1100, 700
# Picture → page of the workspace, and the element that it begins with.
SHOTS = {
    "report": ("out/2024/report.html", ".invented"),
    "endings": ("out/2024/report.html", "#endings .view:nth-of-type(4)"),
    "explorer": (
        "out/2024/explorer.html#injury=ingested&body_site=oesophagus&taxon_group=freshwater_turtle",
        "#result",
    ),
    "steward": ("private/steward.html", "main"),
}


def main(workspace: Path) -> None:
    """Write one PNG a shot beside this file."""
    with sync_playwright() as player:
        chromium = player.chromium.launch(
            executable_path="/usr/bin/chromium", args=["--no-sandbox", "--disable-gpu"]
        )
        for name, (page, element) in SHOTS.items():
            tab = chromium.new_page(viewport={"width": WIDTH, "height": HEIGHT})
            path, _, choice = page.partition("#")
            tab.goto((workspace / path).resolve().as_uri() + (f"#{choice}" if choice else ""))
            tab.locator(element).first.evaluate('element => element.scrollIntoView({behavior: "instant"})')
            tab.screenshot(path=str(FOLDER / f"{name}.png"))
        chromium.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
