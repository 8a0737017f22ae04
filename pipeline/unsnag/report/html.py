"""The report as one HTML file: everything it needs is inside, and it runs no script."""

import base64
import mimetypes
from pathlib import Path

import jinja2
from markupsafe import Markup

from unsnag.report import content, pictures

FACES = [
    ("Unsnag Sans", 400, "normal", "unsnag-sans-regular.ttf"),
    ("Unsnag Sans", 600, "normal", "unsnag-sans-semibold.ttf"),
    ("Unsnag Sans", 400, "italic", "unsnag-sans-italic.ttf"),
    ("Unsnag Serif", 600, "normal", "unsnag-serif-semibold.ttf"),
]


def render(report: content.Report, drawn: dict[str, pictures.Drawn], dashboards: Path) -> str:
    """The whole page as text.

    drawn : key of a view → its picture
    """
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(dashboards / "templates"),
        autoescape=jinja2.select_autoescape(["html.jinja"], default=True),
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    style = (dashboards / "templates" / "report.css").read_text(encoding="utf-8")
    return environment.get_template("report.html.jinja").render(
        report=report,
        style=Markup(typefaces(dashboards / "fonts") + style),
        line_and_float=Markup((dashboards / "templates" / "line_and_float.svg").read_text(encoding="utf-8")),
        sign=_inside(report.own.sign),
        drawings={key: _on_page(key, picture) for key, picture in drawn.items()},
    )


def _on_page(key: str, picture: pictures.Drawn) -> dict[str, Markup]:
    """The picture for each width, as elements of the page."""
    return {
        name: Markup(pictures.page_svg(document, f"{key}-{name}", picture.words))
        for name, document in picture.documents.items()
    }


def _inside(sign: tuple[str, bytes] | None) -> str:
    """The group's sign as an address that holds the picture itself."""
    if sign is None:
        return ""
    name, picture = sign
    return f"data:{mimetypes.guess_type(name)[0]};base64,{base64.b64encode(picture).decode('ascii')}"


def typefaces(folder: Path) -> str:
    """The typefaces as style rules with the files inside."""
    rules = []
    for family, weight, style, file in FACES:
        data = base64.b64encode((folder / file).read_bytes()).decode("ascii")
        rules.append(
            f'@font-face{{font-family:"{family}";font-weight:{weight};font-style:{style};'
            f'src:url(data:font/ttf;base64,{data}) format("truetype");font-display:swap}}\n'
        )
    return "".join(rules)
