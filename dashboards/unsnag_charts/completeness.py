"""How complete each field is, by clinic: one square a field and clinic, darker where more is filled in."""

import altair
import pandas

from unsnag_charts import numbers, theme


def latest(frame: pandas.DataFrame) -> pandas.DataFrame:
    """The rows of the newest year."""
    return frame[frame["year"] == frame["year"].max()]


def chart(frame: pandas.DataFrame, width: int) -> altair.LayerChart:
    """Draw public.completeness for its newest year, fields down and clinics (as letters) across."""
    rows = latest(frame).assign(text=lambda part: part["percent"].map(lambda value: numbers.number(value, 0)))
    fields = list(dict.fromkeys(rows["field"]))
    clinics = rows["clinic_letter"].nunique()
    left = 128 if theme.is_phone(width) else 190
    scale = altair.Scale(type="threshold", domain=[10, 30, 50, 70, 90], range=theme.STEPS)
    top = altair.Axis(orient="top", labelAngle=0, title="Clinic", labelFontWeight=600)
    base = altair.Chart(rows).encode(
        x=altair.X("clinic_letter:N", axis=top),
        y=altair.Y(
            "field:N",
            sort=fields,
            axis=altair.Axis(title=None, minExtent=left, maxExtent=left, labelLimit=left),
        ),
    )
    squares = base.mark_rect(stroke="white", strokeWidth=2).encode(
        color=altair.Color("percent:Q", scale=scale)
    )
    ink = altair.condition("datum.percent >= 70", altair.value("white"), altair.value(theme.INK))
    return altair.layer(squares, base.mark_text(fontSize=13).encode(text="text:N", color=ink)).properties(
        width=min(width - left - 14, 72 * clinics), height=26 * len(fields)
    )


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words: per field the least and the most complete clinic."""
    rows = latest(frame)
    span = rows.groupby("field", sort=False)["percent"].agg(least="min", most="max")
    said = [f"{row.Index}: {numbers.interval(row.least, row.most)}." for row in span.itertuples()]
    year = numbers.number(rows["year"].iloc[0], 0).replace(",", "")
    start = f"Share of cases with each field filled in, {year}, from the least to the most complete clinic."
    return f"{start} {' '.join(said)}"
