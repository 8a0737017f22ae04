"""Effects of the bins as ratios with their limits, on an axis of doublings with no effect in its middle."""

import altair
import numpy
import pandas

from unsnag_charts import numbers
from unsnag_charts.ladder import Difference, ladder, rows

REACH = 4
TICKS = (-4, -3, -2, -1, 0, 1, 2, 3, 4)
LABELS = "datum.value == 0 ? 'no effect' : datum.value > 0 ? pow(2, datum.value) + ' ×' : '1/' + pow(2, -datum.value)"
TITLE = "Tackle cases with the bin over those without"


def label(row) -> str:
    """The bin's site and since when, or all bins."""
    if numbers.is_missing(row.site):
        return "All bins together"
    until = "" if numbers.is_missing(row.removed) else f" to {row.removed:%Y}"
    return f"{row.site}, {row.installed:%Y}{until}"


def ratio(row) -> str:
    """The ratio with its limits in words."""
    if numbers.is_missing(row.low):
        return "too few to tell"
    middle = "–" if not numpy.isfinite(row.ratio) else numbers.number(row.ratio, 2)
    if not numpy.isfinite(row.high):
        return f"{middle} (at least {numbers.number(row.low, 2)})"
    return f"{middle} ({numbers.span(row.low, row.high, 2)})"


def _doublings(values: pandas.Series, is_inside: bool = False) -> pandas.Series:
    """Ratios as doublings, drawn no farther than the axis; a middle beyond it is not drawn."""
    doubled = numpy.log2(values.astype(float).clip(1e-9, 1e9))
    return doubled.where(doubled.abs() <= REACH) if is_inside else doubled.clip(-REACH, REACH)


def chart(frame: pandas.DataFrame, width: int) -> altair.LayerChart:
    """Draw public.bin_effects."""
    table = frame.assign(
        label=[label(row) for row in frame.itertuples()],
        value=_doublings(frame["ratio"], is_inside=True),
        low=_doublings(frame["low"]),
        high=_doublings(frame["high"]),
        is_all=frame["site"].isna(),
    )
    text = [ratio(row) for row in frame.itertuples()]
    drawn = rows(table, text, label="label", value="value", low="low", high="high", is_emphasised="is_all")
    ticks = TICKS[::2] if width < 520 else TICKS
    return ladder(drawn, width, TITLE, difference=Difference(REACH, values=ticks, labels=LABELS))


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words, bin by bin."""
    said = [f"{label(row)}: {ratio(row)}, {row.verdict}." for row in frame.itertuples()]
    return f"Ratios of tackle cases with a bin, 95{numbers.THIN}% limits in brackets; 1 is no effect. {' '.join(said)}"
