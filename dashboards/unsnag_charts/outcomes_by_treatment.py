"""How animals so treated ended: release with its interval, under each injury a row a treatment."""

import altair
import pandas

from unsnag_charts import numbers
from unsnag_charts.ladder import ladder, rows


def _counts(row: pandas.Series) -> str:
    if numbers.is_missing(row.percent_released):
        return f"{numbers.count(row.animals)} animals · too few"
    known = row.released + row.died + row.euthanased
    return (
        f"{numbers.count(row.released)} of {numbers.count(known)} · {numbers.percent(row.percent_released)}"
    )


def shown(frame: pandas.DataFrame) -> pandas.DataFrame:
    """The rows that are not withheld."""
    return frame[frame["animals"].notna()]


def reading(frame: pandas.DataFrame) -> str:
    """How many rows the picture leaves to the table."""
    withheld = len(frame) - len(shown(frame))
    rest = "row is withheld and stands" if withheld == 1 else "rows are withheld and stand"
    return f"{withheld} {rest} only in the table." if withheld else ""


def ladder_rows(frame: pandas.DataFrame, label: str = "treatment_label") -> pandas.DataFrame:
    """Rows of endings as the rows of a ladder, each injury under its heading; ``label`` names the column of names."""
    blocks = []
    for injury, group in shown(frame).groupby("injury_label", sort=False):
        blocks.append(rows(group[:1], [""], label=[injury], is_heading=True))
        blocks.append(
            rows(
                group,
                [_counts(row) for row in group.itertuples()],
                label=label,
                value="percent_released",
                low="wilson_low",
                high="wilson_high",
            )
        )
    return pandas.concat([block.astype(object) for block in blocks], ignore_index=True)


def chart(frame: pandas.DataFrame, width: int) -> altair.LayerChart:
    """Draw public.outcomes_by_treatment, filtered to one row an injury and treatment."""
    return ladder(ladder_rows(frame), width, "Released, % of animals so treated whose ending is known")


def sentences(frame: pandas.DataFrame, label: str = "treatment_label") -> str:
    """The rows in words, injury by injury."""
    said = [
        f"{row.injury_label}, {getattr(row, label)}: {_counts(row).replace(' · ', ', ')}"
        f"{numbers.aside(row.wilson_low, row.wilson_high)}."
        for row in shown(frame).itertuples()
    ]
    return " ".join(said)


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words."""
    return f"How animals ended by injury and treatment received. {sentences(frame)}"
