"""Where everything on a map stands, in pixels from the top left.

Places are projected about the map's middle (azimuthal equidistant, WGS84), so that the scale bar is true there.
"""

from dataclasses import dataclass

import numpy
import pandas
from pyproj import Proj

from unsnag_charts import theme

TALLEST = {True: 560, False: 600}
MARGIN, FOOT = 14, 34
LABEL_GAP, LINE = 19, 32
MOST_LABELS = 26
BAR_KM = (0.5, 1, 2, 5, 10, 20, 50, 100, 200)
LETTER = 6.9


@dataclass(frozen=True)
class Drawing:
    """What is drawn, in pixels from the top left; ``km`` and ``bar`` are the scale bar's length."""

    corners: pandas.DataFrame
    cells: pandas.DataFrame
    sites: pandas.DataFrame
    labels: pandas.DataFrame
    width: int
    height: int
    foot: float
    km: float
    bar: float


@dataclass(frozen=True)
class Frame:
    """How places become pixels."""

    project: Proj
    west: float
    north: float
    scale: float  # pixels a metre
    wide: float
    tall: float

    def place(self, rows: pandas.DataFrame, latitude="latitude", longitude="longitude") -> pandas.DataFrame:
        """The rows with x and y."""
        x, y = self.project(rows[longitude].to_numpy(dtype=float), rows[latitude].to_numpy(dtype=float))
        return rows.assign(x=MARGIN + (x - self.west) * self.scale, y=MARGIN + (self.north - y) * self.scale)


def framed(corners: pandas.DataFrame, sites: pandas.DataFrame, room: float, tallest: float) -> Frame:
    """The frame that holds all areas and sites in so many pixels."""
    middle = [(corners[axis].min() + corners[axis].max()) / 2 for axis in ("latitude", "longitude")]
    project = Proj(proj="aeqd", lat_0=middle[0], lon_0=middle[1], ellps="WGS84")
    held = pandas.concat([corners, sites])
    east, north = project(held["longitude"].to_numpy(dtype=float), held["latitude"].to_numpy(dtype=float))
    scale = min(room / numpy.ptp(east), tallest / numpy.ptp(north))
    return Frame(project, east.min(), north.max(), scale, scale * numpy.ptp(east), scale * numpy.ptp(north))


def laid_out(frame: pandas.DataFrame, width: int) -> Drawing:
    """Where everything stands on a map ``width`` pixels wide: names at its right, on a phone below it."""
    corners, cells, sites = (frame[frame["layer"] == layer] for layer in ("area", "cell", "site"))
    is_phone = theme.is_phone(width)
    texts = labels_of(sites)
    column = 0 if is_phone else int(max(map(len, texts), default=0) * LETTER) + 30
    where = framed(corners, sites, width - column - 2 * MARGIN, TALLEST[is_phone])
    foot = MARGIN + where.tall + FOOT
    drawn, height = where.place(sites), foot + 6
    if is_phone:
        labels = _listed(drawn, texts, foot + 26)
        height += LINE * len(labels) + 10
    else:
        height = max(height, LABEL_GAP * len(texts) + 2 * MARGIN)
        labels = _spread(drawn, texts, MARGIN + where.wide + 16, height)
    widest = max(where.wide / 2, BAR_KM[0] * 1000 * where.scale)
    km = max(each for each in BAR_KM if each * 1000 * where.scale <= widest)
    return Drawing(
        where.place(corners), _cells(cells, where), drawn, labels, width, int(height), foot, km,
        km * 1000 * where.scale,
    )  # fmt: skip


def labels_of(sites: pandas.DataFrame) -> pandas.Series:
    """The words beside each site that gets any: the hot, the best and the barred before the rest."""
    order = sites.assign(last=sites["rank"].fillna(999) - 1000 * sites["is_hot"].astype(float))
    named = order.sort_values("last", kind="stable").head(MOST_LABELS)
    return named["name"] + " · " + named["words"]


def _cells(cells: pandas.DataFrame, where: Frame) -> pandas.DataFrame:
    """Cells as rectangles, cut off at the frame; the grid's degrees are straight enough on such a map."""
    half = cells["step"] / 2
    corners = [
        where.place(
            cells.assign(a=cells["latitude"] + sign * half, b=cells["longitude"] + sign * half), "a", "b"
        )
        for sign in (-1, 1)
    ]
    low, high = (
        corner.assign(
            x=corner["x"].clip(0, 2 * MARGIN + where.wide), y=corner["y"].clip(0, 2 * MARGIN + where.tall)
        )
        for corner in corners
    )
    return cells.assign(x=low["x"], x2=high["x"], y=low["y"], y2=high["y"])


def _spread(sites: pandas.DataFrame, texts: pandas.Series, edge: float, height: float) -> pandas.DataFrame:
    """Names at the right of the map, spread so that none touches the next, each with a line to its site."""
    rows = sites.loc[texts.index].assign(text=texts).sort_values(["y", "x"], kind="stable")
    free = numpy.arange(len(rows)) * LABEL_GAP
    down = numpy.maximum.accumulate(rows["y"].to_numpy(dtype=float) - free) + free
    return rows.assign(label_x=edge, label_y=numpy.minimum(down, height - MARGIN - free[::-1]))


def _listed(sites: pandas.DataFrame, texts: pandas.Series, top: float) -> pandas.DataFrame:
    """Names as a list below the map, each behind its own mark."""
    rows = sites.loc[texts.index].assign(text=texts).sort_values(["rank", "y"], kind="stable")
    down = top + numpy.arange(len(rows)) * LINE
    return rows.assign(x=MARGIN + 12.0, y=down, label_x=MARGIN + 28.0, label_y=down)
