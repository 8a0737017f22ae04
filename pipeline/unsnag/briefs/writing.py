"""Write the briefs: for each council a page, a PDF, its map, and its sites for a map program."""

import json
import re
import tempfile
import unicodedata
from dataclasses import asdict
from pathlib import Path

import jinja2
import pandas
import typst
from markupsafe import Markup
from unsnag_charts import site_map

from unsnag import resources
from unsnag.briefs import content, geodata
from unsnag.databases import reading
from unsnag.report import html, pdf, pictures

TABLES = (
    "about", "councils", "site_expected", "site_kinds", "bin_siting", "bin_sets", "bin_choices", "bin_effects",
    "tackle_cells", "places_of_cases", "siting_rules",
)  # fmt: skip


def read(public_database: Path) -> dict[str, pandas.DataFrame]:
    """The published tables that briefs are made of."""
    with reading(public_database) as connection:
        return {name: connection.sql(f"from public.{name}").df() for name in TABLES}


def councils(frames: dict[str, pandas.DataFrame]) -> list[str]:
    """The councils that have sites, by name."""
    return sorted(set(frames["site_expected"]["council"]) & set(frames["councils"]["council"]))


def write_briefs(frames: dict[str, pandas.DataFrame], out_folder: Path, names: list[str]) -> list[Path]:
    """Write the brief of each council named into ``out_folder/<council>/``.

    Returns  the folders
    """
    dashboards = resources.folder("dashboards")
    pictures.use_typefaces(dashboards / "fonts")
    about = dict(frames["about"].itertuples(index=False, name=None))
    return [
        _write(frames, about, council, out_folder / folder_name(council), dashboards) for council in names
    ]


def folder_name(council: str) -> str:
    """A council's name as a folder's: small letters and digits, parted by underscores."""
    plain = unicodedata.normalize("NFKD", council).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "_", plain).strip("_") or "council"


def _write(frames, about: dict[str, str], council: str, folder: Path, dashboards: Path) -> Path:
    brief = content.compose(frames, about, council)
    drawn = pictures.drawn("site_map", brief.map_rows)
    folder.mkdir(parents=True, exist_ok=True)
    reads = site_map.reading(brief.map_rows)
    for name, text in (
        ("brief.html", page(brief, drawn, reads, dashboards)),
        ("map.svg", pictures.described(drawn)),
        ("sites.geojson", geodata.as_geojson(frames, council)),
        ("sites.csv", geodata.as_csv(frames, council)),
    ):
        (folder / name).write_text(text, encoding="utf-8", newline="\n")
    print_out(brief, drawn, reads, dashboards, folder / "brief.pdf")
    return folder


def page(brief: content.Brief, drawn: pictures.Drawn, reads: str, dashboards: Path) -> str:
    """The brief as one HTML file with everything inside."""
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(dashboards / "templates"),
        autoescape=jinja2.select_autoescape(["html.jinja"], default=True),
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    style = (dashboards / "templates" / "report.css").read_text(encoding="utf-8")
    drawings = {
        name: Markup(pictures.page_svg(document, f"map-{name}", drawn.words))
        for name, document in drawn.documents.items()
    }
    template = environment.get_template("brief.html.jinja")
    return template.render(
        brief=brief,
        drawings=drawings,
        reads=reads,
        style=Markup(html.typefaces(dashboards / "fonts") + style),
    )


def print_out(brief: content.Brief, drawn: pictures.Drawn, reads: str, dashboards: Path, path: Path) -> None:
    """The brief as a tagged PDF of two pages, set by Typst."""
    plain = {name: value for name, value in vars(brief).items() if name != "map_rows"}
    plain |= {"sheets": [asdict(sheet) for sheet in brief.sheets], "alt": drawn.words, "reads": reads}
    with tempfile.TemporaryDirectory() as name:
        desk = Path(name)
        (desk / "brief.typ").write_text((dashboards / "templates" / "brief.typ").read_text("utf-8"), "utf-8")
        (desk / "map.svg").write_text(pdf.for_print(drawn.documents["desk"]), encoding="utf-8")
        (desk / "content.json").write_text(json.dumps(plain), encoding="utf-8")
        typst.compile(
            str(desk / "brief.typ"),
            output=str(path),
            root=str(desk),
            font_paths=[str(dashboards / "fonts")],
            ignore_system_fonts=True,
            pdf_standards=[pdf.STANDARD],
            timestamp=pdf.moment({"as_of": brief.as_of}),
        )
