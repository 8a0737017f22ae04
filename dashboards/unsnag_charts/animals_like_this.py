"""Animals alike in injury and kind: release with its interval, under each injury a row a kind of animal."""

import altair
import pandas

from unsnag_charts import numbers
from unsnag_charts.ladder import ladder, rows


def _counts(row: pandas.Series) -> str:
    known = row.released + row.died + row.euthanased
    return (
        f"{numbers.count(row.released)} of {numbers.count(known)} · {numbers.percent(row.percent_released)}"
    )


def ladder_rows(frame: pandas.DataFrame) -> pandas.DataFrame:
    """The rows of public.animals_like_this as the rows of a ladder, each injury under its heading."""
    blocks = []
    for injury, group in frame.groupby("injury_label", sort=False):
        blocks.append(rows(group[:1], [""], label=[injury], is_heading=True))
        blocks.append(
            rows(
                group,
                [_counts(row) for row in group.itertuples()],
                label="taxon_group_label",
                value="percent_released",
                low="wilson_low",
                high="wilson_high",
            )
        )
    return pandas.concat([block.astype(object) for block in blocks], ignore_index=True)


def chart(frame: pandas.DataFrame, width: int) -> altair.LayerChart:
    """Draw public.animals_like_this of the rank that asks for injury and kind of animal."""
    return ladder(ladder_rows(frame), width, "Released, % of animals whose ending is known")


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words, row by row."""
    said = [
        f"{row.injury_label}, {row.taxon_group_label}: {_counts(row).replace(' · ', ', ')}"
        f"{numbers.aside(row.wilson_low, row.wilson_high)}."
        for row in frame.itertuples()
    ]
    return f"Release of animals alike in injury and kind. {' '.join(said)}"
