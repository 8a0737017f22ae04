"""Write the report: composed and drawn once, then set as a page, as a PDF and as single pictures."""

from pathlib import Path

from unsnag import resources
from unsnag.report import content, explorer, html, pdf, pictures, published
from unsnag.report.own_words import OwnWords


def write_report(
    public_database: Path,
    year: int,
    out_folder: Path,
    own: OwnWords | None = None,
    since: tuple[str, ...] = (),
) -> list[Path]:
    """Write ``report.html``, ``report.pdf``, ``explorer.html`` and ``pictures/`` of one year.

    public_database : out/public.duckdb; nothing else is read
    out_folder      : where they go; the CSV files that the page links to stand in its folder ``tables``
    own             : the group's own words
    since           : what has changed since the year's report was published, in sentences

    Returns  what was written
    """
    dashboards = resources.folder("dashboards")
    outline = content.plan(dashboards)
    release = published.read(public_database, outline["words"])
    report = content.compose(outline, release, year, own, since)
    drawn = draw(report, dashboards)
    out_folder.mkdir(parents=True, exist_ok=True)
    page = out_folder / "report.html"
    page.write_text(html.render(report, drawn, dashboards), encoding="utf-8", newline="\n")
    print_out = pdf.write_pdf(report, drawn, dashboards, out_folder / "report.pdf")
    severities = outline["order"]["severity"]
    asked = explorer.write_explorer(release, severities, dashboards, out_folder / "explorer.html")
    kept = pictures.write_files(drawn, out_folder / "pictures")
    return [page, print_out, *([asked] if asked else []), kept]


def draw(report: content.Report, dashboards: Path) -> dict[str, pictures.Drawn]:
    """The picture of every view that has one, by the view's key."""
    pictures.use_typefaces(dashboards / "fonts")
    views = [view for section in report.sections for view in section.views if view.chart]
    return {view.key: pictures.drawn(view.chart, view.frame) for view in views}
