"""How long animals stayed: the median and the middle half, in days."""

import altair
import pandas

from unsnag_charts import numbers
from unsnag_charts.ladder import ladder, rows


def _counts(row: pandas.Series) -> str:
    if numbers.is_missing(row.animals):
        return "withheld"
    text = f"{numbers.count(row.animals)} animals"
    return (
        f"{text} · too few"
        if numbers.is_missing(row.median_days)
        else f"{text} · {numbers.days(row.median_days)}"
    )


def _middle_half(row: pandas.Series) -> str:
    if numbers.is_missing(row.quartile_low):
        return ""
    return f" (middle half {numbers.number(row.quartile_low, 0)} to {numbers.days(row.quartile_high)})"


def ladder_rows(frame: pandas.DataFrame) -> pandas.DataFrame:
    """The rows of public.stays as the rows of a ladder."""
    text = [_counts(row) for row in frame.itertuples()]
    return rows(
        frame, text, label="group_label", value="median_days", low="quartile_low", high="quartile_high"
    )


def chart(frame: pandas.DataFrame, width: int) -> altair.LayerChart:
    """Draw public.stays, filtered to one ending."""
    return ladder(ladder_rows(frame), width, "Days in care: median, and from quarter to quarter", None)


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words, row by row."""
    said = [
        f"{row.group_label}: {_counts(row).replace(' · ', ', ')}{_middle_half(row)}."
        for row in frame.itertuples()
    ]
    return f"Median days in care with the middle half of the animals. {' '.join(said)}"
