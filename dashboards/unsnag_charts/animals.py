"""Every animal as one dot, in the colour of its ending: the year at a glance."""

import altair
import pandas

from unsnag_charts import numbers, theme

MOST_DOTS = 1200


def animals_per_dot(total: int) -> int:
    """How many animals a dot stands for: one, or the least round number that keeps the picture small."""
    for step in (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000):
        if total / step <= MOST_DOTS:
            return step
    return 10_000


def dots(frame: pandas.DataFrame, across: int) -> pandas.DataFrame:
    """One row a dot with its column and row; each ending starts a new block under its label."""
    step = animals_per_dot(int(frame["animals"].sum()))
    rows, top = [], 0.0
    for line in frame.itertuples():
        n = -(-int(line.animals) // step)
        rows += [
            {"ending": line.ending, "column": i % across, "row": top + 1.3 + i // across} for i in range(n)
        ]
        top += 2.3 + (n - 1) // across + 0.9
    return pandas.DataFrame(rows, columns=["ending", "column", "row"])


def labels(frame: pandas.DataFrame, across: int) -> pandas.DataFrame:
    """Where the words of each block stand."""
    placed = dots(frame, across).groupby("ending", sort=False)["row"].min() - 1.35
    named = frame.assign(row=frame["ending"].map(placed)).dropna(subset=["row"])
    return named.assign(text=named["animals"].map(numbers.count) + " " + named["label"].map(lower_first))


def lower_first(label: str) -> str:
    """A label as it stands inside a sentence."""
    return label[:1].lower() + label[1:]


def chart(frame: pandas.DataFrame, width: int) -> altair.LayerChart:
    """Draw the animals of a year: ``ending`` (a colour's name), ``label`` and ``animals``."""
    cell = 12 if theme.is_phone(width) else 14
    across = (width - 8) // cell
    points, words = dots(frame, across), labels(frame, across)
    height = round((points["row"].max() + 1.4) * cell)
    y = altair.Y("row:Q", scale=altair.Scale(domain=[points["row"].max() + 0.5, -1.0], nice=False), axis=None)
    x = altair.X("column:Q", scale=altair.Scale(domain=[-0.5, across - 0.5], nice=False), axis=None)
    known = list(theme.ENDING_COLOURS)
    scale = altair.Scale(domain=known, range=[theme.ENDING_COLOURS[ending] for ending in known])
    edge = altair.condition(
        "datum.ending === 'unresolved'", altair.value(theme.EDGE), altair.value("transparent")
    )
    circles = altair.Chart(points).mark_point(size=(cell * 0.78) ** 2, opacity=1, filled=True, strokeWidth=1)
    text = altair.Chart(words).mark_text(align="left", fontWeight=600, fontSize=15, dx=-cell * 0.4)
    return altair.layer(
        circles.encode(x=x, y=y, fill=altair.Fill("ending:N", scale=scale, legend=None), stroke=edge),
        text.encode(x=altair.value(cell / 2), y=y, text="text:N"),
    ).properties(width=across * cell, height=height)


def reading(frame: pandas.DataFrame) -> str:
    """What a dot stands for."""
    step = animals_per_dot(int(frame["animals"].sum()))
    return (
        "One dot is one animal."
        if step == 1
        else f"One dot is {numbers.count(step)} animals, or fewer at an end."
    )


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words."""
    said = numbers.listing(
        [f"{numbers.count(row.animals)} {lower_first(row.label)}" for row in frame.itertuples()]
    )
    return f"{reading(frame)} {said}."
