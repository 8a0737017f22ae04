"""What was done, one step after the other: ribbons as wide as the animals that went that way.

On a phone, where ribbons would be too narrow to follow, the same counts stand as bars under the step they follow.
"""

from dataclasses import dataclass

import altair
import numpy
import pandas

from unsnag_charts import numbers, theme
from unsnag_charts.ladder import ladder, rows

HEIGHT, GAP, SLOT, BAR = 460, 14, 17, 10  # pixels; a node takes at least a slot, so that its label fits
ENDINGS = ["released", "other", "euthanased", "died"]


@dataclass(frozen=True)
class Drawing:
    """Where the nodes and the ribbons between them stand; heights run downwards from 0."""

    nodes: pandas.DataFrame
    ribbons: pandas.DataFrame


def _nodes(frame: pandas.DataFrame) -> pandas.DataFrame:
    """Every step at its place in the order: column, animals (of those coming or going, the more), height."""
    parts = [
        frame.groupby(["step_number", "step_from"])["animals"].sum(),
        frame.assign(step_number=frame["step_number"] + 1)
        .groupby(["step_number", "step_to"])["animals"]
        .sum(),
    ]
    sums = pandas.concat([part.rename_axis(["column", "step"]) for part in parts])
    nodes = sums.groupby(level=["column", "step"]).max().reset_index()
    place = nodes["step"].map({ending: 1 + n for n, ending in enumerate(ENDINGS)}).fillna(0)
    return nodes.assign(place=place).sort_values(
        ["column", "place", "animals", "step"], ascending=[True, True, False, True], kind="stable"
    )


def laid_out(frame: pandas.DataFrame) -> Drawing:
    """Nodes stacked in their columns, ribbons leaving and reaching them in the order of the other end."""
    nodes = _nodes(frame)
    most = nodes.groupby("column")["animals"].agg(["sum", "size"])
    scale = float(((HEIGHT - most["size"] * (GAP + SLOT / 2)) / most["sum"]).min())
    height = nodes["animals"] * scale
    slot = height.clip(lower=SLOT) + GAP
    top = slot.groupby(nodes["column"]).cumsum() - slot + (slot - GAP - height) / 2
    nodes = nodes.assign(top=top, bottom=top + height, middle=top + height / 2)
    return Drawing(nodes, _ribbons(frame, nodes, scale))


def _ribbons(frame: pandas.DataFrame, nodes: pandas.DataFrame, scale: float) -> pandas.DataFrame:
    tops = {(row.column, row.step): row.top for row in nodes.itertuples()}
    links = frame.assign(
        start=[tops[key] for key in zip(frame["step_number"], frame["step_from"], strict=True)],
        end=[tops[key] for key in zip(frame["step_number"] + 1, frame["step_to"], strict=True)],
        width=frame["animals"] * scale,
    )
    links = _stacked(_stacked(links, "start", "end"), "end", "start")
    bend = numpy.linspace(0, 1, 24)
    rise = bend**2 * (3 - 2 * bend)
    curves = [
        pandas.DataFrame(
            {
                "link": f"{link.step_number} {link.step_from} {link.step_to}",
                "colour": link.step_to if link.step_to in ENDINGS else "treated",
                "x": link.step_number + bend,
                "top": link.start_at + (link.end_at - link.start_at) * rise,
                "bottom": link.start_at + (link.end_at - link.start_at) * rise + link.width,
            }
        )
        for link in links.itertuples()
    ]
    return pandas.concat(curves, ignore_index=True)


def _stacked(links: pandas.DataFrame, side: str, other: str) -> pandas.DataFrame:
    """The links that share a node on one side, stacked in the order of their other ends."""
    links = links.sort_values(["step_number", side, other], kind="stable")
    before = links.groupby(["step_number", side])["width"].cumsum() - links["width"]
    return links.assign(**{f"{side}_at": links[side] + before})


def chart(frame: pandas.DataFrame, width: int) -> altair.LayerChart:
    """Draw public.pathways."""
    if theme.is_phone(width):
        return _bars(frame, width)
    drawing = laid_out(frame)
    last = int(drawing.nodes["column"].max())
    labels = dict(zip(frame["step_from"], frame["from_label"], strict=True))
    labels |= dict(zip(frame["step_to"], frame["to_label"], strict=True))
    text = drawing.nodes["step"].map(labels) + " " + drawing.nodes["animals"].map(numbers.count)
    return _layers(drawing, drawing.nodes.assign(text=text), last).properties(
        width=width - 118, height=int(drawing.nodes["bottom"].max()) + 4
    )


def _layers(drawing: Drawing, nodes: pandas.DataFrame, last: int) -> altair.LayerChart:
    x = altair.X("x:Q", scale=altair.Scale(domain=[0, last], nice=False), axis=None)
    down = altair.Scale(domain=[float(nodes["bottom"].max()) + 4, 0], nice=False)
    y, y2 = altair.Y("top:Q", scale=down, axis=None), altair.Y2("bottom:Q")
    colours = {"treated": theme.STEPS[3]} | {ending: theme.ENDING_COLOURS[ending] for ending in ENDINGS}
    scale = altair.Scale(domain=list(colours), range=list(colours.values()))
    ribbons = altair.Chart(drawing.ribbons).mark_area(opacity=0.34)
    marked = nodes.assign(
        x=nodes["column"], colour=nodes["step"].where(nodes["step"].isin(ENDINGS), "treated")
    )
    base = altair.Chart(marked).encode(x=x)
    colour = altair.Color("colour:N", scale=scale, legend=None)
    label = base.encode(y=altair.Y("middle:Q", scale=down, axis=None), text="text:N")
    words = {"align": "left", "dx": BAR, "fontSize": 13, "fontWeight": 600}
    return altair.layer(
        ribbons.encode(x=x, y=y, y2=y2, detail="link:N", color=colour),
        base.mark_bar(width=BAR, opacity=1).encode(y=y, y2=y2, color=colour),
        label.mark_text(**words, stroke="white", strokeWidth=3, strokeJoin="round"),
        label.mark_text(**words),
    )


def totals(frame: pandas.DataFrame) -> pandas.DataFrame:
    """How many went from each step to each other, whenever it was."""
    keys = ["step_from", "from_label", "step_to", "to_label"]
    sums = frame.groupby(keys, sort=False)["animals"].sum().reset_index()
    size = sums.groupby("step_from")["animals"].transform("sum")
    return sums.assign(size=size, first=sums["step_from"] != "admitted").sort_values(
        ["first", "size", "from_label", "animals"], ascending=[True, False, True, False], kind="stable"
    )


def _bars(frame: pandas.DataFrame, width: int) -> altair.LayerChart:
    blocks = []
    for step, group in totals(frame).groupby("from_label", sort=False):
        blocks.append(rows(group[:1], [""], label=[f"{step}, then"], is_heading=True))
        text = [numbers.count(n) for n in group["animals"]]
        blocks.append(rows(group, text, label="to_label", value="animals"))
    table = pandas.concat([block.astype(object) for block in blocks], ignore_index=True)
    return ladder(table, width, "Animals", float(frame["animals"].max()) * 1.04, bars=True)


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words: from each step the most frequent next ones."""
    said = []
    for step, group in totals(frame).groupby("from_label", sort=False):
        ways = [f"{row.to_label} {numbers.count(row.animals)}" for row in group[:4].itertuples()]
        said.append(f"{step}, then {numbers.listing(ways)}.")
    return f"Counts of animals from step to step, the most frequent ways. {' '.join(said)}"
