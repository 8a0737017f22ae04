"""A hook under watch: under each day that is asked about, what happened first in the days after it."""

import altair
import pandas

from unsnag_charts import numbers
from unsnag_charts.ladder import ladder, rows


def _asked(frame: pandas.DataFrame) -> pandas.api.typing.DataFrameGroupBy:
    """The rows under the words that head them: the day, and the group where there are several."""
    several = frame["taxon_group_code"].nunique() > 1 or frame["body_site_code"].nunique() > 1
    heads = frame["landmark_label"]
    if several:
        group = frame["taxon_group_label"].where(frame["taxon_group_code"] != "all", frame["body_site_label"])
        heads = group + ". " + heads
    return frame.assign(head=heads).groupby("head", sort=False)


def _reason(row: pandas.Series) -> str:
    """Why a day has no chances, or its number of animals."""
    if numbers.is_missing(row["animals"]):
        return "withheld"
    text = f"{numbers.count(row['animals'])} animals"
    return f"{text} · too few" if numbers.is_missing(row["chance"]) else text


def _chance(row: pandas.Series) -> str:
    return numbers.NONE if numbers.is_missing(row.chance) else numbers.percent(row.chance)


def ladder_rows(frame: pandas.DataFrame) -> pandas.DataFrame:
    """The rows of public.look_ahead as the rows of a ladder; a day without chances is its heading alone."""
    blocks = []
    for head, group in _asked(frame):
        blocks.append(rows(group[:1], [_reason(group.iloc[0])], label=[head], is_heading=True))
        told = group[group["chance"].notna()]
        if not told.empty:
            text = [_chance(row) for row in told.itertuples()]
            columns = {"label": "event_label", "value": "chance", "low": "low", "high": "high"}
            bands = {"band_low": "chance", "band_high": "chance_if_early"}
            is_told = (told["event"] == "passed").array
            block = rows(told, text, **columns, **bands, is_emphasised=is_told)
            blocks.append(block.assign(**{name: block[name].where(is_told) for name in bands}))
    return pandas.concat([block.astype(object) for block in blocks], ignore_index=True)


def _horizon(frame: pandas.DataFrame) -> int:
    return int(frame["horizon_days"].iloc[0])


def chart(frame: pandas.DataFrame, width: int) -> altair.LayerChart:
    """Draw public.look_ahead, filtered to one horizon."""
    return ladder(ladder_rows(frame), width, f"Chance within the next {_horizon(frame)} days, %")


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words, day by day."""
    said = []
    for head, group in _asked(frame):
        told = [
            f"{row.event_label} {_chance(row)}{numbers.aside(row.low, row.high)}"
            for row in group[group["chance"].notna()].itertuples()
        ]
        said.append(
            f"{head}, {_reason(group.iloc[0]).replace(' · ', ', ')}{': ' if told else ''}{'; '.join(told)}."
        )
    return (
        f"Chances of what happens first to a swallowed hook under watch within {_horizon(frame)} days, "
        f"with 95{numbers.THIN}% limits. {' '.join(said)}"
    )
