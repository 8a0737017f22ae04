"""Attempts at removal: one row a kind, or one row an answer, with exact intervals."""

import altair
import pandas

from unsnag_charts import numbers
from unsnag_charts.ladder import ladder, rows


def _counts(row: pandas.Series) -> str:
    if numbers.is_missing(row.n):
        return "withheld"
    text = f"{numbers.count(row.n)} of {numbers.count(row.total)}"
    return f"{text} · {'too few' if numbers.is_missing(row.percent) else numbers.percent(row.percent)}"


def _label(frame: pandas.DataFrame) -> str:
    """The column that names the rows: kinds with one answer, or answers of one kind."""
    return "answer_label" if frame["answer"].nunique() > 1 else "label"


def ladder_rows(frame: pandas.DataFrame) -> pandas.DataFrame:
    """The rows of public.procedures as the rows of a ladder; the band is what unstated answers leave open."""
    has_percent = frame["percent"].notna()
    return rows(
        frame,
        [_counts(row) for row in frame.rename(columns={"count": "n"}).itertuples()],
        label=_label(frame),
        value="percent",
        low="exact_low",
        high="exact_high",
        band_low=frame["bound_low"].where(has_percent).array,
        band_high=frame["bound_high"].where(has_percent).array,
    )


def _asked(frame: pandas.DataFrame) -> str:
    """What is asked, of what."""
    row = frame.iloc[0]
    return (
        f"{row['answer_label'] if _label(frame) == 'label' else row['measure_label']}, % of {row['counts']}"
    )


def chart(frame: pandas.DataFrame, width: int) -> altair.LayerChart:
    """Draw public.procedures, filtered to one measure, and to one answer or one kind."""
    return ladder(ladder_rows(frame), width, _asked(frame))


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words, row by row."""
    said = [
        f"{getattr(row, _label(frame))}: {_counts(row).replace(' · ', ', ')}"
        f"{numbers.aside(row.exact_low, row.exact_high)}."
        for row in frame.rename(columns={"count": "n"}).itertuples()
    ]
    return f"{_asked(frame)}, with exact 95{numbers.THIN}% intervals. {' '.join(said)}"
