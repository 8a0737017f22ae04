"""Release rates year by year, with what the animals still in care could change."""

import altair
import pandas

from unsnag_charts import numbers, release_rates, theme
from unsnag_charts.ladder import ladder

AXIS = "Released, % of animals whose ending is known"


def open_cases(row: pandas.Series) -> int:
    """Animals whose ending is not known: in care, handed on, or lost from the records."""
    return sum(0 if numbers.is_missing(n) else int(n) for n in (row.pending, row.transferred, row.unknown))


def words(row: pandas.Series) -> str:
    """What stands under a year."""
    counted = release_rates.counts(row).split(" · ")
    return "\n".join([*counted, f"{open_cases(row)} open"])


def chart(frame: pandas.DataFrame, width: int) -> altair.LayerChart:
    """Draw public.release_rates by admission year: rows on a phone, columns on a desk."""
    if theme.is_phone(width):
        return ladder(release_rates.ladder_rows(frame), width, AXIS)
    table = frame.assign(
        year=frame["group_label"].astype(str), words=[words(row) for row in frame.itertuples()]
    )
    return _columns(table, width)


def _columns(table: pandas.DataFrame, width: int) -> altair.LayerChart:
    x = altair.X(
        "year:O", axis=altair.Axis(title=None, labelAngle=0, labelFontWeight=600, labelColor=theme.INK)
    )
    scale = altair.Scale(domain=[0, 100])
    axis = altair.Axis(title=AXIS, tickCount=5, minExtent=34, maxExtent=34)
    base = altair.Chart().encode(x=x)
    y = altair.Y("wilson_low:Q", scale=scale, axis=axis)
    layers = [
        base.transform_filter("isValid(datum.percent)")
        .mark_bar(size=24, color=theme.PALE, stroke=theme.EDGE, strokeWidth=0.75)
        .encode(y=altair.Y("bound_low:Q", scale=scale, axis=axis), y2="bound_high:Q"),
        base.mark_rule(strokeWidth=2.5, strokeCap="round", color=theme.WATER).encode(y=y, y2="wilson_high:Q"),
        base.mark_circle(size=115, opacity=1, color=theme.WATER).encode(y=altair.Y("percent:Q", scale=scale)),
        base.mark_text(baseline="top", lineHeight=17, color=theme.MUTED, fontSize=13).encode(
            y=altair.value(330), text="words:N"
        ),
    ]
    return altair.layer(*layers, data=table).properties(width=width - 80, height=300)


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words, year by year."""
    said = [
        f"{release_rates.sentence(row.group_label, row)[:-1]}, {open_cases(row)} without a known ending."
        for row in frame.itertuples()
    ]
    return f"Release rates by year of admission. {' '.join(said)}"
