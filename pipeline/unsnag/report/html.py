"""The report as one HTML file: everything it needs is inside, and it runs no script."""

import base64
from pathlib import Path

import jinja2
from markupsafe import Markup

from unsnag import resources
from unsnag.report import content, pictures, published

FACES = [
    ("Unsnag Sans", 400, "normal", "unsnag-sans-regular.ttf"),
    ("Unsnag Sans", 600, "normal", "unsnag-sans-semibold.ttf"),
    ("Unsnag Sans", 400, "italic", "unsnag-sans-italic.ttf"),
    ("Unsnag Serif", 600, "normal", "unsnag-serif-semibold.ttf"),
]


def write_report(
    public_database: Path, year: int, out_folder: Path, workspace_texts: dict[str, str] | None = None
) -> Path:
    """Write ``report.html`` of one year.

    public_database : out/public.duckdb; nothing else is read
    out_folder      : where it goes; the CSV files that it links to stand in its folder ``tables``
    workspace_texts : the group's own words: ``foreword``, ``contact``

    Returns  the file
    """
    dashboards = resources.folder("dashboards")
    outline = content.plan(dashboards)
    release = published.read(public_database, outline["words"])
    report = content.compose(outline, release, year, workspace_texts)
    out_folder.mkdir(parents=True, exist_ok=True)
    page = out_folder / "report.html"
    page.write_text(render(report, dashboards), encoding="utf-8", newline="\n")
    return page


def render(report: content.Report, dashboards: Path) -> str:
    """The whole page as text."""
    pictures.use_typefaces(dashboards / "fonts")
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
        drawings={
            view.key: {
                name: Markup(svg) for name, svg in pictures.drawings(view.key, view.chart, view.frame).items()
            }
            for section in report.sections
            for view in section.views
            if view.chart
        },
    )


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
