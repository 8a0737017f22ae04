"""Charts as SVG for a page: drawn at two widths, with one description in words, safe to set side by side."""

import importlib
import re
from functools import cache
from pathlib import Path
from xml.sax.saxutils import quoteattr

import pandas
import vl_convert
from unsnag_charts import theme

WIDTHS = {"phone": theme.PHONE, "desk": theme.DESK}


@cache
def use_typefaces(folder: Path) -> None:
    """Let the drawing program measure text with the typefaces that ship."""
    vl_convert.register_font_directory(str(folder))


def specification(chart: str, frame: pandas.DataFrame, width: int) -> dict:
    """The Vega-Lite specification of a chart module's picture of a frame, ``width`` in pixels."""
    return theme.specification(module(chart).chart(frame, width))


def alt_text(chart: str, frame: pandas.DataFrame) -> str:
    """What the picture shows, computed from its rows."""
    return module(chart).alt_text(frame)


def reading(chart: str, frame: pandas.DataFrame) -> str:
    """What a chart module has to add about these rows to the words on how to read its picture."""
    drawn_by = module(chart)
    return drawn_by.reading(frame) if hasattr(drawn_by, "reading") else ""


def drawings(key: str, chart: str, frame: pandas.DataFrame) -> dict[str, str]:
    """The picture for each of WIDTHS, as SVG elements whose ids start with ``key``."""
    words = alt_text(chart, frame)
    return {
        name: page_svg(vl_convert.vegalite_to_svg(specification(chart, frame, width)), f"{key}-{name}", words)
        for name, width in WIDTHS.items()
    }


def page_svg(svg: str, key: str, words: str) -> str:
    """An SVG document as an element of a page: one image with one description, ids of its own.

    The drawing program describes every axis and mark; a reader by ear hears the picture's description instead.
    """
    svg = re.sub(r' (?:aria-[a-z]+|role)="[^"]*"', "", svg)
    svg = re.sub(r'id="([^"]+)"', rf'id="{key}-\1"', svg)
    svg = re.sub(r"url\(#([^)]+)\)", rf"url(#{key}-\1)", svg)
    view = re.search(r'viewBox="([^"]+)"', svg)
    start = f'<svg class="drawing" role="img" aria-label={quoteattr(words)} viewBox="{view[1]}"'
    width, height = view[1].split()[2:]
    return re.sub(r"<svg[^>]*>", lambda _: f'{start} width="{width}" height="{height}">', svg, count=1)


def module(chart: str):
    """The module of unsnag_charts that draws this chart."""
    return importlib.import_module(f"unsnag_charts.{chart}")
