"""Release rates with their interval and bounds: one row a group, or one row a way of counting."""

import altair
import pandas

from unsnag_charts import numbers
from unsnag_charts.ladder import ladder, rows

AXIS = "Released, % of the animals counted"


def counts(row: pandas.Series) -> str:
    """What stands at the end of a row: the two counts and the percentage, or why there is none."""
    if numbers.is_missing(row.numerator):
        return "withheld"
    text = f"{numbers.count(row.numerator)} of {numbers.count(row.denominator)}"
    return f"{text} · {'too few' if numbers.is_missing(row.percent) else numbers.percent(row.percent)}"


def has_conventions(frame: pandas.DataFrame) -> bool:
    """Whether the rows are several ways of counting one group, rather than several groups."""
    return frame["convention"].nunique() > 1


def ladder_rows(frame: pandas.DataFrame) -> pandas.DataFrame:
    """The rows of public.release_rates as the rows of a ladder."""
    is_ways = has_conventions(frame)
    has_rate = frame["percent"].notna().array
    return rows(
        frame,
        [counts(row) for row in frame.itertuples()],
        label="convention_label" if is_ways else "group_label",
        value="percent",
        low="wilson_low",
        high="wilson_high",
        band_low=frame["bound_low"].where(has_rate).array,
        band_high=frame["bound_high"].where(has_rate).array,
        is_emphasised="is_headline" if is_ways else True,
    )


def chart(frame: pandas.DataFrame, width: int) -> altair.LayerChart:
    """Draw public.release_rates, filtered to one way of counting or to one group."""
    return ladder(ladder_rows(frame), width, AXIS)


def sentence(label: str, row: pandas.Series) -> str:
    """One row in words."""
    if numbers.is_missing(row.percent):
        return f"{label}: {counts(row).replace(' · ', ', ')}."
    limits = numbers.interval(row.wilson_low, row.wilson_high)
    return f"{label}: {numbers.percent(row.percent)} ({counts(row).split(' · ')[0]}; interval {limits})."


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words, row by row."""
    column = "convention_label" if has_conventions(frame) else "group_label"
    said = [sentence(getattr(row, column), row) for row in frame.itertuples()]
    return f"Rows of release rates with their 95{numbers.THIN}% intervals. {' '.join(said)}"
