"""How complete each field is, by clinic: one square a field and clinic, darker where more is filled in."""

import altair
import pandas

from unsnag_charts import numbers, theme
from unsnag_charts.squares import squares


def latest(frame: pandas.DataFrame) -> pandas.DataFrame:
    """The rows of the newest year."""
    return frame[frame["year"] == frame["year"].max()]


def chart(frame: pandas.DataFrame, width: int) -> altair.LayerChart:
    """Draw public.completeness for its newest year, fields down and clinics (as letters) across."""
    rows = latest(frame)
    cells = pandas.DataFrame(
        {
            "row": rows["field"],
            "column": rows["clinic_letter"],
            "value": rows["percent"],
            "text": rows["percent"].map(lambda value: numbers.number(value, 0)),
            "is_dark": rows["percent"] >= 70,
        }
    )
    scale = altair.Scale(type="threshold", domain=[10, 30, 50, 70, 90], range=theme.STEPS)
    clinics = sorted(rows["clinic_letter"].unique(), key=lambda letter: (len(letter), letter))
    return squares(cells, list(rows["field"].unique()), clinics, width, scale)


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words: per field the least and the most complete clinic."""
    rows = latest(frame)
    span = rows.groupby("field", sort=False)["percent"].agg(least="min", most="max")
    said = [
        f"{row.Index}: {numbers.span(row.least, row.most, 0)}{numbers.THIN}%." for row in span.itertuples()
    ]
    start = (
        f"Share of cases with each field filled in, {rows['year'].iloc[0]:.0f}, from the least to the most"
    )
    return f"{start} complete clinic. {' '.join(said)}"
