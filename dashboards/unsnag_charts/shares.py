"""Shares of a whole as bars from zero, with exact intervals."""

import altair
import pandas

from unsnag_charts import numbers
from unsnag_charts.ladder import ladder, rows

NOUNS = {"animal": "animals", "gear_item": "pieces of gear", "procedure": "procedures"}


def _counts(row: pandas.Series) -> str:
    if numbers.is_missing(row.n):
        return "withheld"
    text = numbers.count(row.n)
    return (
        f"{text} · too few" if numbers.is_missing(row.percent) else f"{text} · {numbers.percent(row.percent)}"
    )


def ladder_rows(frame: pandas.DataFrame) -> pandas.DataFrame:
    """The rows of public.shares as the rows of a ladder."""
    text = [_counts(row) for row in frame.rename(columns={"count": "n"}).itertuples()]
    return rows(frame, text, label="label", value="percent", low="exact_low", high="exact_high")


def _whole(frame: pandas.DataFrame) -> str:
    row = frame.iloc[0]
    return f"{numbers.count(row['total'])} {NOUNS.get(row['level'], row['level'])}"


def chart(frame: pandas.DataFrame, width: int) -> altair.LayerChart:
    """Draw public.shares, filtered to one axis."""
    end = min(100.0, max(10.0, float(frame["exact_high"].max()) * 1.08))
    return ladder(ladder_rows(frame), width, f"Share of {_whole(frame)}, %", end, bars=True)


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words, row by row."""
    said = [
        f"{row['label']}: {numbers.count(row['count'])}, {numbers.percent(row['percent'])}"
        f"{numbers.aside(row['exact_low'], row['exact_high'])}."
        for _, row in frame.iterrows()
    ]
    return f"Bars of shares of {_whole(frame)}, with exact 95{numbers.THIN}% intervals. {' '.join(said)}"
