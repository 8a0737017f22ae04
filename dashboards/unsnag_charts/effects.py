"""The planned comparisons: difference in animals of 100 with its interval, in all animals and in groups."""

import altair
import pandas

from unsnag_charts import numbers
from unsnag_charts.ladder import Difference, ladder, rows

MARGIN = 10  # animals in a hundred: what "no clear difference" has to exclude
AXIS = "Difference, animals of 100: fewer to the left, more to the right"


def _figures(row: pandas.Series) -> str:
    if numbers.is_missing(row.difference):
        return row.verdict
    return f"{signed(row.difference)} ({signed(row.low)} to {signed(row.high)})"


def signed(value: float) -> str:
    """A whole difference with its sign; 0 has none."""
    text = numbers.number(value, 0)
    return f"+{text}" if value > 0 and text != "0" else text


def shown(frame: pandas.DataFrame) -> pandas.DataFrame:
    """All eligible animals of every comparison, and the groups of which something can be said."""
    return frame[(frame["effect_by"] == "all") | frame["difference"].notna()]


def reading(frame: pandas.DataFrame) -> str:
    """How many groups the picture leaves to the table."""
    untold = len(frame) - len(shown(frame))
    rest = (
        "row of a group is too small to tell and stands"
        if untold == 1
        else "rows of groups are too small to tell and stand"
    )
    return f"{untold} {rest} only in the table." if untold else ""


def ladder_rows(frame: pandas.DataFrame) -> pandas.DataFrame:
    """The rows as a ladder: a heading a contrast, below it release and death, all animals first."""
    blocks = []
    for (question, contrast), group in shown(frame).groupby(["question_label", "contrast_label"], sort=False):
        blocks.append(
            rows(
                group[:1], [""], label=[f"{question}: {contrast[:1].lower()}{contrast[1:]}"], is_heading=True
            )
        )
        who = ", " + group["animals_label"].str.lower()
        labels = group["measure_label"] + who.where(group["effect_by"] != "all", "")
        blocks.append(
            rows(group, [_figures(row) for row in group.itertuples()], label=labels.array,
                 value="difference", low="low", high="high",
                 is_emphasised=(group["effect_by"] == "all").array)
        )  # fmt: skip
    return pandas.concat([block.astype(object) for block in blocks], ignore_index=True)


def reach(frame: pandas.DataFrame) -> float:
    """Half the width of the axis: the furthest limit, in tens."""
    furthest = frame[["low", "high"]].abs().max().max()
    return 2.0 * MARGIN if pandas.isna(furthest) else max(2 * MARGIN, -(-furthest // 10) * 10)


def chart(frame: pandas.DataFrame, width: int) -> altair.LayerChart:
    """Draw public.effects, both outcomes, with its names as words."""
    return ladder(ladder_rows(frame), width, AXIS, difference=Difference(reach(shown(frame)), MARGIN))


def _row_in_words(row: pandas.Series) -> str:
    who = f"{row.animals_label.lower()} ({numbers.count(row.eligible)})"
    verdict = "" if numbers.is_missing(row.difference) else f", {row.verdict}"
    return f"{row.question_label}, {row.contrast_label}, {row.measure_label.lower()}, {who}: {_figures(row)}{verdict}"


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words, contrast by contrast."""
    said = [f"{_row_in_words(row)}." for row in shown(frame).itertuples()]
    return f"Differences between strategies in animals of 100, with intervals. {' '.join(said)}"
