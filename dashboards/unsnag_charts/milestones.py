"""Days to something: the median and the middle half, beside a window of common practice where there is one."""

import altair
import pandas

from unsnag_charts import numbers
from unsnag_charts.ladder import ladder, rows


def _counts(row: pandas.Series) -> str:
    if numbers.is_missing(row.animals):
        return "withheld"
    told = "too few" if numbers.is_missing(row.median_days) else numbers.days(row.median_days)
    return f"{numbers.count(row.animals)} animals · {told}"


def _window(row: pandas.Series) -> str:
    """The window of common practice in words; nothing where there is none."""
    if "from_days" not in row.index:
        return ""
    if numbers.is_missing(row["until_days"]):
        return f", common practice from day {int(row['from_days'])} on"
    return f", common practice day {int(row['from_days'])} to {int(row['until_days'])}"


def _last(frame: pandas.DataFrame) -> float:
    """The end of the axis: a window without an end reaches it."""
    days = frame[[name for name in ("quartile_high", "from_days", "until_days") if name in frame]]
    return max(1.0, float(days.astype(float).max().max()) * 1.08)


def ladder_rows(frame: pandas.DataFrame) -> pandas.DataFrame:
    """The rows of public.milestones or public.removal_days as the rows of a ladder."""
    windows = {}
    if "from_days" in frame:
        windows = {"band_low": "from_days", "band_high": frame["until_days"].fillna(_last(frame)).array}
    return rows(
        frame,
        [_counts(row) for row in frame.itertuples()],
        label="label",
        value="median_days",
        low="quartile_low",
        high="quartile_high",
        **windows,
    )


def chart(frame: pandas.DataFrame, width: int) -> altair.LayerChart:
    """Draw public.milestones, or public.removal_days filtered to one axis."""
    since = "the operation" if "from_days" in frame else "admission"
    return ladder(
        ladder_rows(frame), width, f"Days since {since}: median, and from quarter to quarter", _last(frame)
    )


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words, row by row."""
    said = [
        f"{row['label']}: {_counts(row).replace(' · ', ', median ')}"
        f" (middle half {numbers.number(row['quartile_low'], 0)} to {numbers.number(row['quartile_high'], 0)})"
        f"{_window(row)}."
        for _, row in frame.iterrows()
    ]
    return f"Median days with the middle half of the animals. {' '.join(said)}"
