"""Published places as the rows of a map, and as the rows of tables that join several of them."""

import json

import pandas
from unsnag_charts import bin_effects
from unsnag_charts.numbers import THIN, listing, number, p_value

from unsnag.report.published import Published
from unsnag.report.words import Finding

NETWORK = "all councils"
MAP = ["layer", "name", "ring", "latitude", "longitude", "step", "cases", "mark", "rank", "is_hot", "words"]


def site_map(published: Published, year: int) -> pandas.DataFrame:
    """The map of all councils."""
    return map_rows(published.frames, NETWORK)


def map_rows(frames: dict[str, pandas.DataFrame], area: str) -> pandas.DataFrame:
    """One row a corner of an area, a cell of the grid with cases, and a site.

    frames : public.councils, site_expected, bin_siting and tackle_cells, by name
    area   : a council, or all; cells are those whose middle lies within its box
    """
    councils, sites = frames["councils"], frames["site_expected"]
    siting = frames["bin_siting"][frames["bin_siting"]["area"] == area]
    if area != NETWORK:
        councils, sites = (frame[frame["council"] == area] for frame in (councils, sites))
    corners = pandas.DataFrame([row for council in councils.itertuples() for row in _corners(council)])
    box = corners[["latitude", "longitude"]].agg(["min", "max"])
    cells = frames["tackle_cells"]
    for axis in ("latitude", "longitude"):
        cells = cells[cells[axis].between(box.loc["min", axis], box.loc["max", axis])]
    cells = cells.assign(layer="cell", step=cells["step_degrees"])
    marked = sites.merge(siting[["site_id", "rank", "within_reach", "taken_from", "bar"]], on="site_id")
    drawn = [corners, cells, _sites(marked)]
    return pandas.concat(drawn, ignore_index=True).reindex(columns=MAP)


def _corners(council):
    """The corners of every ring of a council's area, the rings numbered."""
    shape = json.loads(council.geometry)
    polygons = [shape["coordinates"]] if shape["type"] == "Polygon" else shape["coordinates"]
    rings = [ring for polygon in polygons for ring in polygon]
    for place, ring in enumerate(rings):
        for longitude, latitude in ring:
            yield {
                "layer": "area", "name": council.council, "ring": f"{council.council} {place}",
                "latitude": latitude, "longitude": longitude,
            }  # fmt: skip


def _sites(sites: pandas.DataFrame) -> pandas.DataFrame:
    """Sites with their mark: a bin stands there, none may, or a candidate with its rank."""
    mark = sites["bar"].isna().map({True: "candidate", False: "barred"}).mask(sites["has_bin"], "bin")
    words = [_words(site) for site in sites.itertuples()]
    return sites.assign(
        layer="site", name=sites["site"], cases=sites["expected"], mark=mark, words=words,
        is_hot=sites["finding"] == "hot spot",
    )  # fmt: skip


def _words(site) -> str:
    """What is to be expected at a site, or why nothing is said."""
    if pandas.isna(site.expected):
        return "figures withheld"
    return f"{site.expected:.1f} a year"


def sites_ranked(published: Published, year: int) -> pandas.DataFrame:
    """Sites of all councils with what one more bin would reach and prevent, best first."""
    siting = published.frames["bin_siting"]
    siting = siting[siting["area"] == NETWORK]
    about = published.frames["site_expected"][["site_id", "expected", "low", "high", "finding"]]
    figures = [name for name in siting if name.startswith(("within", "prevented"))]
    shown = siting[figures].where(siting["bar"].isna())
    return siting.assign(**shown).merge(about, on="site_id").reset_index(drop=True)


def bins_judged(published: Published, year: int) -> pandas.DataFrame:
    """public.bin_effects with each bin and its effect in words."""
    frame = published.frames["bin_effects"]
    rows = list(frame.itertuples())
    return frame.assign(
        label=[bin_effects.label(row) for row in rows], effect=[bin_effects.ratio(row) for row in rows]
    )


def placebos(published: Published, year: int) -> pandas.DataFrame:
    """public.bin_placebos with each effect in words."""
    frame = published.frames["bin_placebos"]
    return frame.assign(effect=[bin_effects.ratio(row) for row in frame.itertuples()])


def hot_spots(published: Published, year: int) -> list[Finding]:
    """The hot spots of all years, and the busy places that are none."""
    circles, sites = published.frames["hot_spots"], published.frames["site_expected"]
    hot = circles[(circles["scan"] == "same_groups") & (circles["finding"] == "beyond chance")]
    busy = sites[sites["finding"] == "busy, not hot"]["site"].tolist()
    not_hot = f" Busy, but no hotter than elsewhere: {listing(busy)}." if busy else ""
    if hot.empty:
        return [
            Finding("No place stands out beyond chance.", f"All years together.{not_hot}", is_clear=False)
        ]
    return [
        Finding(
            f"Hot: {circle.sites or 'a place without a candidate site'}.",
            f"Tackle is {number(circle.relative_risk)} times the share of rescues that it is elsewhere "
            f"(p {p_value(circle.p_value)}).{not_hot if last else ''}",
        )
        for circle, last in zip(hot.itertuples(), [*[False] * (len(hot) - 1), True], strict=True)
    ]


def bins_together(published: Published, year: int) -> list[Finding]:
    """What may be said of all bins together."""
    frame = published.frames["bin_effects"]
    together = frame[frame["site"].isna()].iloc[0]
    is_clear = together["verdict"].startswith(("fewer", "more"))
    text = f"Tackle cases against sites without a bin, ratio and 95{THIN}% limits: {bin_effects.ratio(together)}."
    return [Finding(f"All bins together: {together['verdict']}.", text, is_clear)]


# Name in report.toml → the public tables that it needs, and how it is counted.
FRAMES = {
    "site_map": (("site_expected", "councils", "bin_siting", "tackle_cells"), site_map),
    "sites_ranked": (("bin_siting", "site_expected"), sites_ranked),
    "bins_judged": (("bin_effects",), bins_judged),
    "placebos": (("bin_placebos",), placebos),
}
FINDINGS = {
    "hot_spots": (("hot_spots", "site_expected"), hot_spots),
    "bins_together": (("bin_effects",), bins_together),
}
