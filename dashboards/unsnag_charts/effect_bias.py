"""What the design removes: the planned comparison beside those that ask something else and those that mislead."""

import math

import altair
import pandas

from unsnag_charts import numbers
from unsnag_charts.effects import reach, signed
from unsnag_charts.ladder import Difference, ladder, rows

POINTS = "released"
AXIS = "Released if treated early, less if not: animals of 100"
RATIO_AXIS = "Ratio of daily chances of death, treated to untreated (log scale)"
RATIO_LABELS = "datum.value < 0 ? '1/' + format(pow(2, -datum.value), 'd') : format(pow(2, datum.value), 'd')"
MARKS = {"as planned": "", "another question": "Another question. ", "biased": "Biased. "}


def _figures(row: pandas.Series) -> str:
    write = signed if row.measure == POINTS else numbers.number
    limits = "" if numbers.is_missing(row.low) else f" ({write(row.low)} to {write(row.high)})"
    return f"{write(row.value)}{limits}"


def _label(row: pandas.Series) -> str:
    return f"{MARKS[row.kind]}{row.method}"


def _blocks(frame: pandas.DataFrame) -> pandas.DataFrame:
    """A heading a question and its methods below it."""
    blocks = []
    for question, group in frame.groupby("question_label", sort=False):
        blocks.append(rows(group[:1], [""], label=[question], is_heading=True))
        blocks.append(
            rows(group, [_figures(row) for row in group.itertuples()],
                 label=[_label(row) for row in group.itertuples()],
                 value="value", low="low", high="high", is_emphasised=(group["kind"] == "as planned").array)
        )  # fmt: skip
    return pandas.concat([block.astype(object) for block in blocks], ignore_index=True)


def _ratios(table: pandas.DataFrame) -> pandas.DataFrame:
    """The ladder's rows with ratios as powers of two, so that halving and doubling are as far from one."""
    columns = ["value", "low", "high"]
    powers = table[columns].map(lambda ratio: None if numbers.is_missing(ratio) else math.log2(ratio))
    return table.assign(**powers)


def _furthest(table: pandas.DataFrame) -> int:
    return max(2, math.ceil(table[["low", "high", "value"]].astype(float).abs().max().max()))


def chart(frame: pandas.DataFrame, width: int) -> altair.TopLevelMixin:
    """Draw public.effect_bias: points of release above, hazard ratios below."""
    points, ratios = (frame[(frame["measure"] == POINTS) == is_points] for is_points in (True, False))
    drawn = []
    if len(points):
        table = _blocks(points)
        drawn.append(ladder(table, width, AXIS, difference=Difference(reach(points))))
    if len(ratios):
        table = _ratios(_blocks(ratios))
        furthest = _furthest(table)
        ticks = tuple(range(-furthest, furthest + 1))
        drawn.append(
            ladder(table, width, RATIO_AXIS, difference=Difference(furthest, 0, ticks, RATIO_LABELS))
        )
    return drawn[0] if len(drawn) == 1 else altair.vconcat(*drawn, spacing=28)


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words, method by method."""
    said = [
        f"{row.question_label}, {_label(row)}, {row.measure}: {_figures(row)}." for row in frame.itertuples()
    ]
    return f"The planned comparison beside others. {' '.join(said)}"
