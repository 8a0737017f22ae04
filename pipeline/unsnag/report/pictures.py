"""Charts as SVG for a page: drawn at two widths, with one description in words, safe to set side by side."""

import importlib
import json
import re
import shutil
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from xml.sax.saxutils import escape, quoteattr

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


def has_marks(chart: str, frame: pandas.DataFrame) -> bool:
    """Whether there is anything to draw: in a small network every row may be too few, and stands in the table only."""
    drawn_by = module(chart)
    return not hasattr(drawn_by, "shown") or not drawn_by.shown(frame).empty


def reading(chart: str, frame: pandas.DataFrame) -> str:
    """What a chart module has to add about these rows to the words on how to read its picture."""
    drawn_by = module(chart)
    return drawn_by.reading(frame) if hasattr(drawn_by, "reading") else ""


@dataclass(frozen=True)
class Drawn:
    """A picture: what it shows in words, and its specification and SVG document for each of WIDTHS."""

    words: str
    specifications: dict[str, dict]
    documents: dict[str, str]


def drawn(chart: str, frame: pandas.DataFrame) -> Drawn:
    """Draw a chart module's picture of a frame once, for whatever it is set in."""
    specifications = {name: specification(chart, frame, width) for name, width in WIDTHS.items()}
    documents = {name: vl_convert.vegalite_to_svg(each) for name, each in specifications.items()}
    return Drawn(alt_text(chart, frame), specifications, documents)


def write_files(pictures: dict[str, Drawn], folder: Path) -> Path:
    """Write each picture to ``folder``: as SVG with its description inside, and its Vega-Lite specification.

    What an earlier run wrote there goes. Returns the folder.
    """
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    for key, picture in pictures.items():
        (folder / f"{key}.svg").write_text(described(picture), encoding="utf-8")
        specified = {"description": picture.words} | picture.specifications["desk"]
        text = json.dumps(specified, ensure_ascii=False, indent=1, sort_keys=True)
        (folder / f"{key}.vl.json").write_text(text + "\n", encoding="utf-8")
    return folder


def described(picture: Drawn) -> str:
    """The SVG document of a desk with its description, as a file that stands by itself."""
    words = f"<desc>{escape(picture.words)}</desc>"
    return re.sub(r"(<svg[^>]*>)", lambda start: start[1] + words, picture.documents["desk"], count=1)


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
