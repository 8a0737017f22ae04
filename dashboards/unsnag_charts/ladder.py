"""Rows of a value with its interval: the shape shared by the rate, share and length-of-stay pictures.

On a desk each row has its label at the left and its counts at the right; on a phone both stand above the
line, so that the line keeps the whole width.
"""

from dataclasses import dataclass

import altair
import pandas

from unsnag_charts import theme

MEASURES = ["value", "low", "high", "band_low", "band_high"]
COLUMNS = ["label", *MEASURES, "text", "is_heading", "is_emphasised"]
LETTER = 6.9  # mean width in pixels of a letter at the text size, wide enough to be safe
LINE = 17  # height in pixels of a line of text
QUIET = "#5b8d95"
SOFT = "#7fb0b5"


def rows(frame: pandas.DataFrame, text: list[str], **columns: object) -> pandas.DataFrame:
    """The rows of a ladder from a published table.

    text    : what stands at the end of each row
    columns : COLUMNS by name, each a column of ``frame`` (its name) or a value; those left out stay empty
    """
    empty = dict.fromkeys(MEASURES)
    plain = {"text": text, "is_heading": False, "is_emphasised": True}
    taken = {
        name: frame[column].array if isinstance(column, str) else column for name, column in columns.items()
    }
    return pandas.DataFrame(empty | plain | taken, index=range(len(frame)))[COLUMNS]


@dataclass(frozen=True)
class Layout:
    """Where things stand, in pixels; ``letters`` is how many fit into one line of a label."""

    left: int
    plot: int
    right: int
    letters: int
    is_phone: bool


def layout(rows: pandas.DataFrame, width: int) -> Layout:
    """The measures of a ladder that is ``width`` pixels wide."""
    text = int(rows["text"].str.len().max() * LETTER) + 16
    if theme.is_phone(width):
        return Layout(0, width - 8, 0, int((width - 8 - text) / LETTER), is_phone=True)
    left = 208
    return Layout(left, width - left - text - 8, text, int((left - 12) / LETTER), is_phone=False)


def wrap(label: str, letters: int) -> str:
    """The label over lines of at most ``letters`` letters, broken at blanks; a longer word keeps its line."""
    lines = [""]
    for word in label.split():
        joined = f"{lines[-1]} {word}".strip()
        if lines[-1] and len(joined) > letters:
            lines.append(word)
        else:
            lines[-1] = joined
    return "\n".join(lines)


def placed(rows: pandas.DataFrame, where: Layout) -> pandas.DataFrame:
    """The rows with their wrapped label, and the heights of their line (y) and words (label_y), in pixels."""
    across = int((where.left + where.plot + where.right) / (LETTER + 1))  # a heading has its line to itself
    letters = rows["is_heading"].map({True: across, False: where.letters})
    label = pandas.Series([wrap(*each) for each in zip(rows["label"], letters, strict=True)], rows.index)
    extra = label.str.count("\n") * LINE
    if where.is_phone:
        height = rows["is_heading"].map({True: 38, False: 50}) + extra
        bottom = height.cumsum()
        y, label_y = bottom - 16, bottom - height + 18
    else:
        height = rows["is_heading"].map({True: 40, False: 30}) + extra
        bottom = height.cumsum()
        y = bottom - (height - rows["is_heading"] * 10) / 2
        label_y = y - extra / 2
    # As floats, what is missing becomes null in the specification; as objects it would stay a NaN.
    table = rows.astype(dict.fromkeys(MEASURES, float))
    return table.assign(label=label, y=y, label_y=label_y, bottom=bottom)


@dataclass(frozen=True)
class Difference:
    """An axis of differences, with nothing in its middle.

    reach  : its ends lie at -reach and reach
    margin : half the width of a pale band about nothing, 0 for none
    values : where ticks stand; labels : a Vega expression of what is written there, "" for the number
    """

    reach: float
    margin: float = 0
    values: tuple[float, ...] = ()
    labels: str = ""


def ladder(
    rows: pandas.DataFrame,
    width: int,
    title: str,
    maximum: float | None = 100,
    *,
    bars: bool = False,
    difference: Difference | None = None,
) -> altair.LayerChart:
    """Draw the rows, first row on top, on an axis that starts at zero.

    rows    : COLUMNS; value, low and high in the axis's unit or missing (then only the text is shown);
              band_low to band_high is where the value may still move while endings are unknown
    title   : the axis title, with its unit
    maximum : end of the axis; None takes it from the data
    bars    : draw the value as a bar from zero, for shares of a whole
    difference : an axis with zero in its middle instead
    """
    where = layout(rows, width)
    table = placed(rows, where)
    height = int(table["bottom"].max())
    largest = table[["value", "high"]].max().max()
    # In a small network every figure may be withheld; the axis still needs an end.
    end = maximum or (1.0 if pandas.isna(largest) else max(1.0, float(largest) * 1.04))
    vertical = altair.Scale(domain=[height, 0], nice=False)
    base = altair.Chart().encode(y=altair.Y("y:Q", scale=vertical, axis=None))
    start, end = (-difference.reach, difference.reach) if difference else (0, end)
    scale = altair.Scale(domain=[start, end], nice=False)
    x = altair.X("low:Q", scale=scale, axis=_axis(title, where, difference))
    marks = _bars(base, x) if bars else _marks(base, x)
    track = [_track(base, x, start, end)] if where.is_phone else []
    if difference:
        middle = _middle(base, x, difference.margin, None if where.is_phone else height)
        marks = [*middle, *marks]
    labels = altair.Chart().encode(y=altair.Y("label_y:Q", scale=vertical, axis=None))
    words = _words(labels, labels if where.is_phone else base, where)
    return altair.layer(*track, *marks, *words, data=table).properties(width=where.plot, height=height)


def _axis(title: str, where: Layout, difference: Difference | None) -> altair.Axis:
    ticks = {"tickCount": 5, "labelFlush": where.is_phone}
    if difference and difference.values:
        ticks = {"values": list(difference.values)}
    if difference and difference.labels:
        ticks["labelExpr"] = difference.labels
    return altair.Axis(title=title, grid=not where.is_phone, **ticks)


def _middle(base: altair.Chart, x: altair.X, margin: float, height: int | None) -> list[altair.Chart]:
    """The line of no difference, and a pale band about it of what is too little to matter.

    Down the whole picture, ``height`` pixels; on a phone (None) row by row, for there they would cross the words.
    """
    if height is None:
        ends = base.transform_filter("!datum.is_heading")
        band, line = (
            ends.mark_bar(size=16, color=theme.MIST),
            ends.mark_tick(size=16, thickness=1.5, color=theme.MUTED),
        )
        across = {}
    else:
        ends = altair.Chart(altair.Data(values=[{}]))
        band, line = ends.mark_rect(color=theme.MIST), ends.mark_rule(color=theme.MUTED, strokeWidth=1.5)
        across = {"y": altair.value(0), "y2": altair.value(height)}
    band = band.transform_calculate(low=str(-margin), high=str(margin)).encode(x=x, x2="high:Q", **across)
    line = line.transform_calculate(low="0").encode(x=x, **across)
    return [band, line] if margin else [line]


def _track(base: altair.Chart, x: altair.X, start: float, end: float) -> altair.Chart:
    """A thin line along each row of a phone's picture, where a grid would cross the words."""
    rows = base.transform_filter("!datum.is_heading").transform_calculate(low=str(start), high=str(end))
    return rows.mark_rule(color=theme.HAIRLINE).encode(x=x, x2="high:Q")


def _marks(base: altair.Chart, x: altair.X) -> list[altair.Chart]:
    """Band of what is not settled, interval and point."""
    measured = base.transform_filter("isValid(datum.value)")
    colour = altair.condition("datum.is_emphasised", altair.value(theme.WATER), altair.value(QUIET))
    band = base.transform_filter("isValid(datum.band_low)").mark_bar(
        size=13, color=theme.PALE, stroke=theme.EDGE, strokeWidth=0.75
    )
    return [
        band.transform_calculate(low="datum.band_low").encode(x=x, x2="band_high:Q"),
        measured.mark_rule(strokeWidth=2.5, strokeCap="round").encode(x=x, x2="high:Q", color=colour),
        measured.transform_calculate(low="datum.value")
        .mark_circle(size=105, opacity=1)
        .encode(x=x, color=colour),
    ]


def _bars(base: altair.Chart, x: altair.X) -> list[altair.Chart]:
    """A bar from zero with its interval."""
    measured = base.transform_filter("isValid(datum.value)")
    bar = measured.transform_calculate(low="0").mark_bar(size=14, color=SOFT)
    interval = measured.transform_filter("isValid(datum.low)").mark_rule(strokeWidth=2.5, color=theme.INK)
    return [bar.encode(x=x, x2="value:Q"), interval.encode(x=x, x2="high:Q")]


def _words(base: altair.Chart, counts: altair.Chart, where: Layout) -> list[altair.Chart]:
    """The labels and the counts, drawn as text at fixed places."""
    left, right = altair.value(-where.left), altair.value(where.plot + where.right)
    headings = base.transform_filter("datum.is_heading")
    return [
        headings.mark_text(align="left", fontWeight=600, fontSize=theme.TEXT_SIZE + 1).encode(
            x=left, text="label:N"
        ),
        base.transform_filter("!datum.is_heading").mark_text(align="left").encode(x=left, text="label:N"),
        counts.mark_text(align="right", color=theme.MUTED).encode(x=right, text="text:N"),
    ]
