"""A map drawn from the councils' own shapes: where cases were found, candidate sites, bins, and a scale bar.

The picture needs no map service and no network.
"""

import altair
import pandas

from unsnag_charts import numbers, theme
from unsnag_charts.map_layout import MARGIN, Drawing, laid_out

LAND = "#f4f7f6"
CELL = "#8fb4b8"


def chart(frame: pandas.DataFrame, width: int) -> altair.LayerChart:
    """Draw rows of report.site_frames.map_rows()."""
    drawing = laid_out(frame, width)
    x, y = _across("x", drawing), _down("y", drawing)
    marked = drawing.sites
    if theme.is_phone(width):
        marked = pandas.concat([drawing.sites, drawing.labels])
    layers = [
        *_areas(drawing, x, y),
        *_names(drawing, x, y),
        *_marks(marked, x, y),
        *_scale_bar(drawing, x, y),
    ]
    return altair.layer(*layers).properties(width=width, height=drawing.height)


def _across(column: str, drawing: Drawing) -> altair.X:
    return altair.X(f"{column}:Q", scale=altair.Scale(domain=[0, drawing.width], nice=False), axis=None)


def _down(column: str, drawing: Drawing) -> altair.Y:
    return altair.Y(f"{column}:Q", scale=altair.Scale(domain=[drawing.height, 0], nice=False), axis=None)


def _plain(rows: pandas.DataFrame, *columns: str) -> altair.Chart:
    return altair.Chart(rows[list(columns)].reset_index(drop=True))


def _areas(drawing: Drawing, x, y) -> list[altair.Chart]:
    """Land, cells of cases on it, borders over both, and the councils' names where there are several."""
    corners = drawing.corners.assign(order=range(len(drawing.corners)))
    base = _plain(corners, "x", "y", "ring", "order").encode(x=x, y=y, detail="ring:N", order="order:O")
    land = base.mark_line(fill=LAND, stroke=None)
    border = base.mark_line(stroke=theme.EDGE, strokeWidth=1.25, strokeJoin="round")
    corner = drawing.corners.groupby("name", sort=False)[["x", "y"]].min().reset_index()
    corner = corner.assign(x=corner["x"] + 24, y=corner["y"] + 18)
    names = _plain(corner, "name", "x", "y").encode(x=x, y=y, text="name:N")
    names = names.mark_text(fontSize=12, fontStyle="italic", align="left", color=theme.MUTED)
    return [land, *_grid(drawing, x, y), border, *([names] if len(corner) > 1 else [])]


def _grid(drawing: Drawing, x, y) -> list[altair.Chart]:
    if drawing.cells.empty:
        return []
    most = drawing.cells["cases"].max()
    cells = drawing.cells.assign(opacity=0.16 + 0.6 * drawing.cells["cases"] / most)
    base = _plain(cells, "x", "x2", "y", "y2", "cases", "opacity").encode(x=x, y=y, x2="x2:Q", y2="y2:Q")
    filled = base.mark_rect(color=CELL, stroke="white", strokeWidth=1)
    return [filled.encode(opacity=altair.Opacity("opacity:Q", scale=None))]


def _names(drawing: Drawing, x, y) -> list[altair.Chart]:
    if drawing.labels.empty:
        return []
    rows = drawing.labels.assign(text_x=drawing.labels["label_x"] + 4)
    lines = _plain(rows, "x", "y", "label_x", "label_y")
    words = _plain(rows, "text_x", "label_y", "text", "is_hot").encode(
        x=_across("text_x", drawing),
        y=_down("label_y", drawing),
        text="text:N",
    )
    leaders = lines.mark_rule(color=theme.EDGE, strokeWidth=0.75)
    leaders = leaders.encode(x=x, y=y, x2="label_x:Q", y2="label_y:Q")
    return [
        *([] if theme.is_phone(drawing.width) else [leaders]),
        words.transform_filter("datum.is_hot").mark_text(align="left", fontWeight=600, fontSize=13),
        words.transform_filter("!datum.is_hot").mark_text(align="left", fontSize=13),
    ]


def _marks(sites: pandas.DataFrame, x, y) -> list[altair.Chart]:
    """Shapes differ as well as colours: a square is a bin, a cross a site where none may stand."""
    sites = sites.assign(number=sites["rank"].map(numbers.count).replace(numbers.NONE, ""))
    base = _plain(sites, "x", "y", "mark", "number", "is_hot").encode(x=x, y=y)
    of = {name: base.transform_filter(f"datum.mark === '{name}'") for name in ("candidate", "bin", "barred")}
    circle = {"shape": "circle", "size": 330, "opacity": 1, "filled": True}
    return [
        base.transform_filter("datum.is_hot").mark_point(
            shape="circle", size=780, filled=False, stroke=theme.FLOAT, strokeWidth=3.5, opacity=1
        ),
        of["candidate"].mark_point(**circle, fill="white", stroke=theme.INK, strokeWidth=1.5),
        of["bin"].mark_point(
            shape="square", size=210, opacity=1, filled=True, fill=theme.INK, stroke="white"
        ),
        of["barred"].mark_point(
            shape="cross", size=190, angle=45, opacity=1, filled=True, fill=theme.MUTED, stroke="white"
        ),
        of["candidate"].mark_text(fontSize=12, fontWeight=600, dy=0.5).encode(text="number:N"),
    ]


def _scale_bar(drawing: Drawing, x, y) -> list[altair.Chart]:
    """A bar at the bottom left with its length, and where north is."""
    low = drawing.foot - 6
    bar = pandas.DataFrame([{"x": MARGIN, "x2": MARGIN + drawing.bar, "y": low}])
    ends = pandas.DataFrame([{"x": at, "y": low - 5, "y2": low} for at in (MARGIN, MARGIN + drawing.bar)])
    words = [{"x": MARGIN + drawing.bar + 8, "y": low - 2, "text": f"{drawing.km:g} km · north is up"}]
    return [
        altair.Chart(bar).mark_rule(strokeWidth=2.5, color=theme.INK).encode(x=x, x2="x2:Q", y=y),
        altair.Chart(ends).mark_rule(strokeWidth=1.5, color=theme.INK).encode(x=x, y=y, y2="y2:Q"),
        altair.Chart(pandas.DataFrame(words))
        .mark_text(align="left", fontSize=12, color=theme.MUTED)
        .encode(x=x, y=y, text="text:N"),
    ]


def reading(frame: pandas.DataFrame) -> str:
    """What the marks mean that stand on this map."""
    said = [
        "Numbered circle: a candidate site, numbered by the tackle cases that a bin there would newly reach.",
        "Square: a bin stands there.",
        "Cross: no bin may stand there." if (frame["mark"] == "barred").any() else "",
        "Ring: a hot spot." if (frame["is_hot"] == True).any() else "",  # noqa: E712
        "Shaded square: where cases were found, to the published grid and no finer; darker is more."
        if (frame["layer"] == "cell").any()
        else "",
        "Beside each name: tackle cases to be expected a year.",
    ]
    return " ".join(filter(None, said))


MARKS = {"candidate": "candidate", "bin": "a bin stands there", "barred": "no bin may stand there"}


def alt_text(frame: pandas.DataFrame) -> str:
    """The map in words, site by site."""
    sites = frame[frame["layer"] == "site"].sort_values(["rank", "name"], kind="stable")
    said = [
        f"{site.name}: {MARKS[site.mark]}{'' if numbers.is_missing(site.rank) else f' number {int(site.rank)}'}, "
        f"{site.words}{', a hot spot' if site.is_hot else ''}."
        for site in sites.rename(columns={"name": "site"}).assign(name=sites["name"]).itertuples()
    ]
    councils = frame[frame["layer"] == "area"]["name"].drop_duplicates()
    return f"Map of {numbers.listing(list(councils))}. {' '.join(said)}"
