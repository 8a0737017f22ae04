"""Years compared by what had become of their animals by a fixed day."""

import altair
import pandas

from unsnag_charts import numbers
from unsnag_charts.ladder import ladder, rows

ENDINGS = (("released", "Released"), ("dead", "Died or euthanased"))


def shown(frame: pandas.DataFrame) -> pandas.DataFrame:
    """The years that have a figure."""
    return frame[frame["released_by_horizon"].notna()]


def horizon(frame: pandas.DataFrame) -> str:
    """The day at which the years are read."""
    return f"day {numbers.count(frame['horizon_days'].iloc[0])}"


def reading(frame: pandas.DataFrame) -> str:
    """How long after its end each year was looked at."""
    days = numbers.days(frame["lag_days"].iloc[0])
    return (
        f"Each year is looked at as it stood {days} after its end, so that no year had longer than another."
    )


def _text(row: pandas.Series, name: str) -> str:
    return f"{numbers.count(row.animals)} animals · {numbers.percent(getattr(row, f'{name}_by_horizon'))}"


def ladder_rows(frame: pandas.DataFrame) -> pandas.DataFrame:
    """The rows of public.years_compared as the rows of a ladder, each ending under its heading."""
    blocks = []
    for name, words in ENDINGS:
        blocks.append(rows(frame[:1], [""], label=[f"{words} by {horizon(frame)}"], is_heading=True))
        blocks.append(
            rows(
                frame,
                [_text(row, name) for row in frame.itertuples()],
                label=frame["admission_year"].astype(str).array,
                value=f"{name}_by_horizon",
                low=f"{name}_low",
                high=f"{name}_high",
            )
        )
    return pandas.concat([block.astype(object) for block in blocks], ignore_index=True)


def chart(frame: pandas.DataFrame, width: int) -> altair.LayerChart:
    """Draw public.years_compared."""
    return ladder(ladder_rows(shown(frame)), width, "% of the year's live admissions")


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words, year by year."""
    said = [
        f"{row.admission_year}: {words.lower()} {_text(row, name).replace(' · ', ', ')}"
        f"{numbers.aside(getattr(row, f'{name}_low'), getattr(row, f'{name}_high'))}."
        for name, words in ENDINGS
        for row in shown(frame).itertuples()
    ]
    return f"Years compared by {horizon(frame)} after admission. {' '.join(said)}"
