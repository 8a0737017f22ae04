"""The pictures of README.md: small, each shown there with words, and of pages that a run still makes."""

import re
import sys

import pytest
from conftest import CHECKOUT

TOUR = CHECKOUT / "dashboards" / "tour"
README = (CHECKOUT / "README.md").read_text(encoding="utf-8")


def shots():
    """Picture → page and element, as the maker has them."""
    pytest.importorskip("playwright")
    sys.path.insert(0, str(TOUR))
    try:
        from make_tour import SHOTS
    finally:
        sys.path.remove(str(TOUR))
    return SHOTS


def test_every_picture_is_small_and_stands_in_the_readme_with_words():
    shown = dict(re.findall(r"!\[([^\]]{20,})\]\(dashboards/tour/(\w+)\.png\)", README))
    assert sorted(shown.values()) == sorted(path.stem for path in TOUR.glob("*.png")) == sorted(shots())
    assert all(path.stat().st_size < 200_000 for path in TOUR.glob("*.png"))


def test_every_page_of_the_tour_is_one_that_a_run_names():
    pages = {page.partition("#")[0].rpartition("/")[2] for page, _ in shots().values()}
    said = (CHECKOUT / "pipeline" / "unsnag" / "cli_shown.py").read_text(encoding="utf-8")
    assert pages and all(page in said for page in pages)
