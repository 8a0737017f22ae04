"""What injures which animals: a square for each pair, darker and numbered by the animals in it."""

import altair
import pandas

from unsnag_charts import numbers, theme
from unsnag_charts.squares import squares

SILENT = ("not_stated", "withheld")


def _ordered(frame: pandas.DataFrame, feature: str) -> list[str]:
    """The labels of a feature, the one with most animals first, the silent last."""
    totals = frame.groupby([f"{feature}_code", f"{feature}_label"], sort=False)["animals"].sum().reset_index()
    totals["is_silent"] = totals[f"{feature}_code"].isin(SILENT)
    ordered = totals.sort_values(["is_silent", "animals"], ascending=[True, False], kind="stable")
    return list(ordered[f"{feature}_label"])


def chart(frame: pandas.DataFrame, width: int) -> altair.LayerChart:
    """Draw the pairs: ``taxon_group_label`` down, ``injury_label`` across, ``animals``."""
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
    return squares(cells, _ordered(frame, "taxon_group"), _ordered(frame, "injury"), width, scale)


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words: for each group of animals its most frequent injury."""
    said = []
    for group in _ordered(frame, "taxon_group"):
        part = frame[frame["taxon_group_label"] == group]
        most = part.sort_values("animals", ascending=False, kind="stable").iloc[0]
        total = numbers.count(part["animals"].sum())
        said.append(f"{group}, {total}: most often {most['injury_label']}, {numbers.count(most['animals'])}.")
    return f"Animals by group and injury. {' '.join(said)}"
