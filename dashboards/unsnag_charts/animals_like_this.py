"""Animals alike in injury and kind: release with its interval, under each injury a row a kind of animal."""

import altair
import pandas

from unsnag_charts.ladder import ladder
from unsnag_charts.outcomes_by_treatment import ladder_rows, sentences

LABEL = "taxon_group_label"


def chart(frame: pandas.DataFrame, width: int) -> altair.LayerChart:
    """Draw public.animals_like_this of the rank that asks for injury and kind of animal."""
    return ladder(ladder_rows(frame, LABEL), width, "Released, % of animals whose ending is known")


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words."""
    return f"Release of animals alike in injury and kind. {sentences(frame, LABEL)}"
