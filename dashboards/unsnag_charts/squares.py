"""A square for each pair of a row and a column, darker for more, with its number inside."""

import altair
import pandas

from unsnag_charts import theme
from unsnag_charts.ladder import LINE, wrap

LETTER, PAD = 6.4, 10  # pixels: the mean width of a letter, the space between a label and the squares


def squares(
    cells: pandas.DataFrame, rows: list[str], columns: list[str], width: int, scale: altair.Scale
) -> altair.LayerChart:
    """Draw the pairs.

    cells : ``row``, ``column``, ``value`` (coloured by ``scale``), ``text`` and ``is_dark`` (its ink is white)
    rows, columns : the labels in their order; on a phone long headings of columns stand aslant
    """
    is_phone = theme.is_phone(width)
    left = 118 if is_phone else 190
    plot = min(width - left - (34 if is_phone else 8), 84 * len(columns))
    x = altair.X("column:N", sort=columns, axis=None, scale=altair.Scale(padding=0))
    y = altair.Y("row:N", sort=rows, axis=None, scale=altair.Scale(padding=0))
    base = altair.Chart(cells).encode(x=x, y=y)
    ink = altair.condition("datum.is_dark", altair.value("white"), altair.value(theme.INK))
    is_aslant = max(map(len, columns)) * LETTER > plot / len(columns) and is_phone
    return altair.layer(
        base.mark_rect(stroke="white", strokeWidth=2).encode(color=altair.Color("value:Q", scale=scale)),
        base.mark_text(fontSize=13).encode(text="text:N", color=ink),
        *_side(rows, y, left),
        *_top(columns, x, plot / len(columns), is_aslant=is_aslant),
    ).properties(width=plot, height=30 * len(rows))


def _side(rows: list[str], y: altair.Y, left: int) -> list[altair.Chart]:
    """The labels of the rows; one over two lines is moved up by half a line."""
    labels = _labels("row", rows, int((left - PAD) / LETTER))
    return [
        altair.Chart(part)
        .mark_text(
            align="right", dy=-(lines - 1) * LINE / 2, fontSize=13, lineHeight=LINE - 2, color=theme.MUTED
        )
        .encode(x=altair.value(-PAD), y=y, text="label:N")
        for lines, part in labels.groupby("lines")
    ]


def _top(columns: list[str], x: altair.X, room: float, *, is_aslant: bool) -> list[altair.Chart]:
    """The headings of the columns, standing on the squares, or aslant where they are too long."""
    if is_aslant:
        heading = altair.Chart(_labels("column", columns, 99)).mark_text(
            align="left", baseline="middle", angle=300, fontSize=13, color=theme.MUTED
        )
        return [heading.encode(x=x, y=altair.value(-PAD), text="label:N")]
    labels = _labels("column", columns, int(room / LETTER))
    return [
        altair.Chart(part)
        .mark_text(baseline="bottom", dy=-(lines - 1) * LINE, fontSize=13, lineHeight=LINE, color=theme.MUTED)
        .encode(x=x, y=altair.value(-PAD / 2), text="label:N")
        for lines, part in labels.groupby("lines")
    ]


def _labels(name: str, values: list[str], letters: int) -> pandas.DataFrame:
    labels = [wrap(value, letters) for value in values]
    return pandas.DataFrame(
        {name: values, "label": labels, "lines": [text.count("\n") + 1 for text in labels]}
    )
