"""What injures which animals: a square for each pair, darker and numbered by the animals in it."""

import altair
import pandas

from unsnag_charts import numbers, theme
from unsnag_charts.squares import squares


def chart(frame: pandas.DataFrame, width: int) -> altair.LayerChart:
    """Draw the pairs in their order: ``taxon_group_label`` down, ``injury_label`` across, ``animals``."""
    most = int(frame["animals"].max())
    cells = pandas.DataFrame(
        {
            "row": frame["taxon_group_label"],
            "column": frame["injury_label"],
            "value": frame["animals"],
            "text": frame["animals"].map(numbers.count),
            "is_dark": frame["animals"] > 0.4 * most,
        }
    )
    scale = altair.Scale(type="sqrt", domain=[0, most], range=[theme.STEPS[0], theme.STEPS[-1]])
    return squares(cells, list(cells["row"].unique()), list(cells["column"].unique()), width, scale)


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words: for each group of animals its most frequent injury."""
    said = []
    for group, part in frame.groupby("taxon_group_label", sort=False):
        most = part.sort_values("animals", ascending=False, kind="stable").iloc[0]
        total = numbers.count(part["animals"].sum())
        said.append(f"{group}, {total}: most often {most['injury_label']}, {numbers.count(most['animals'])}.")
    return f"Animals by group and injury. {' '.join(said)}"
