"""Release rates as counted, with limits that allow for clinics, and beside them as drawn towards a typical group."""

import altair
import pandas

from unsnag_charts import numbers, release_rates, theme
from unsnag_charts.ladder import ladder, layout, placed, rows

AXIS = "Released, % of animals whose ending is known"


def shown(frame: pandas.DataFrame) -> pandas.DataFrame:
    """The groups that have a rate."""
    return frame[frame["percent"].notna()]


def reading(frame: pandas.DataFrame) -> str:
    """What was not shrunk and why, and how many groups stand only in the table."""
    reasons = sorted(set(shown(frame)["shrunken_reason"].dropna()))
    said = [f"Nothing was drawn towards the mean: {reason}." for reason in reasons]
    hidden = len(frame) - len(shown(frame))
    if hidden:
        said.append(f"Groups that stand only in the table: {hidden}, too few animals or withheld.")
    return " ".join(said)


def ladder_rows(frame: pandas.DataFrame) -> pandas.DataFrame:
    """The rows of public.pooled_rates as the rows of a ladder."""
    return rows(
        frame,
        [release_rates.counts(row) for row in frame.itertuples()],
        label="group_label",
        value="percent",
        low="clustered_low",
        high="clustered_high",
    )


def chart(frame: pandas.DataFrame, width: int) -> altair.LayerChart:
    """Draw public.pooled_rates of one grouping."""
    frame = shown(frame)
    table = ladder_rows(frame)
    drawn = ladder(table, width, AXIS)
    placed_rows = placed(table, layout(table, width)).assign(shrunken=frame["shrunken"].array)
    scale = altair.Scale(domain=[0, 100], nice=False)
    vertical = altair.Scale(domain=[int(placed_rows["bottom"].max()), 0], nice=False)
    diamonds = (
        altair.Chart(placed_rows[["y", "shrunken"]])
        .transform_filter("isValid(datum.shrunken)")
        .mark_point(
            shape="diamond",
            size=120,
            filled=True,
            opacity=1,
            color="white",
            stroke=theme.FLOAT,
            strokeWidth=2.5,
        )
        .encode(x=altair.X("shrunken:Q", scale=scale), y=altair.Y("y:Q", scale=vertical, axis=None))
    )
    drawn.layer.append(diamonds)
    return drawn


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words, row by row."""
    said = [
        f"{row.group_label}: {numbers.percent(row.percent)} ({release_rates.counts(row).split(' · ')[0]}"
        f"{_limits(row)}){_drawn(row)}."
        for row in shown(frame).itertuples()
    ]
    return f"Release rates with limits that allow for clinics. {' '.join(said)}"


def _limits(row: pandas.Series) -> str:
    if numbers.is_missing(row.clustered_low):
        return ""
    return f"; limits {numbers.interval(row.clustered_low, row.clustered_high)}"


def _drawn(row: pandas.Series) -> str:
    return (
        ""
        if numbers.is_missing(row.shrunken)
        else f", drawn towards the mean {numbers.percent(row.shrunken)}"
    )
