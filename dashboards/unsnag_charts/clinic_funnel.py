"""Clinics in a funnel: observed over expected releases against the number expected, with control limits."""

import altair
import pandas

from unsnag_charts import numbers, theme

LIMITS = (("95", [1, 0]), ("998", [4, 3]))


def chart(frame: pandas.DataFrame, width: int) -> altair.LayerChart:
    """Draw public.clinic_funnel: a letter for each clinic, the limits as lines around 1."""
    end = float(frame["expected"].max()) * 1.08
    top = max(2.0, float(frame[["ratio", "high_95"]].max().max()) * 1.1)
    x = altair.X(
        "expected:Q",
        scale=altair.Scale(domain=[0, end], nice=False),
        axis=altair.Axis(title="Releases expected", tickCount=6),
    )
    scale = altair.Scale(domain=[0, top], nice=False, clamp=True)
    axis = altair.Axis(title="Observed over expected", tickCount=5, minExtent=30, maxExtent=30)
    base = altair.Chart(frame).encode(x=x)
    lines = [
        base.mark_line(strokeWidth=1.5, color=theme.MUTED, strokeDash=dash).encode(
            y=altair.Y(f"{side}_{level}:Q", scale=scale, axis=axis)
        )
        for level, dash in LIMITS
        for side in ("low", "high")
    ]
    one = (
        altair.Chart(pandas.DataFrame({"one": [1]}))
        .mark_rule(color=theme.INK)
        .encode(y=altair.Y("one:Q", scale=scale))
    )
    dots = base.mark_circle(size=90, opacity=1, color=theme.WATER).encode(
        y=altair.Y("ratio:Q", scale=scale, axis=axis)
    )
    letters = base.mark_text(dx=10, dy=-8, fontWeight=600).encode(
        y=altair.Y("ratio:Q", scale=scale, axis=axis), text="clinic_letter:N"
    )
    return altair.layer(one, *lines, dots, letters).properties(width=width - 60, height=280)


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words, clinic by clinic."""
    said = [
        f"{row.clinic_letter}: {numbers.count(row.observed)} released, {numbers.number(row.expected)} expected, "
        f"ratio {numbers.number(row.ratio, 2)}, {row.position}."
        for row in frame.itertuples()
    ]
    return f"Observed over expected releases of each clinic. {' '.join(said)}"
