"""How stays ended, day by day: the share released, died and euthanased, with limits, labelled at the end."""

import altair
import pandas

from unsnag_charts import numbers, theme

HORIZONS = (30, 60, 90, 120, 180, 365)  # days shown: the least that holds all endings, or a year
PANELS = 6
DASHES = {"released": [1, 0], "died": [1, 0], "euthanased": [5, 3], "other": [2, 3]}
LINE = ["title", "ending"]
AXIS_ROOM, LABEL_ROOM, LABEL_HEIGHT = 62, 118, 15  # pixels


def horizon(frame: pandas.DataFrame) -> int:
    """The last day shown; the table and the CSV go further if the stays do."""
    return next((days for days in HORIZONS if frame["day"].max() <= days), HORIZONS[-1])


def titles_by_size(frame: pandas.DataFrame) -> dict[str, str]:
    """The largest groups with their panels' titles, largest first."""
    animals = frame.groupby("group_label", sort=False)["at_risk"].max()
    largest = animals.sort_values(ascending=False, kind="stable")[:PANELS]
    return {group: f"{group} · {numbers.count(n)} animals" for group, n in largest.items()}


def shown(frame: pandas.DataFrame) -> pandas.DataFrame:
    """The largest groups, each line up to the horizon and carried on to it.

    Adds ``title`` (the group and its animals), ``place`` and ``text`` (the label at the line's end).
    """
    lines = frame.assign(title=frame["group_label"].map(titles_by_size(frame))).dropna(subset=["title"])
    last = horizon(frame)
    lines = lines[lines["day"] <= last].sort_values("day", kind="stable")
    starts = lines.groupby(LINE, sort=False).head(1)
    starts = starts[starts["day"] > 0].assign(day=0, incidence=0.0, low=0.0, high=0.0)
    ends = lines.groupby(LINE, sort=False).tail(1).assign(day=last)
    return pandas.concat([starts, lines, _labelled(ends)], ignore_index=True)


def _labelled(ends: pandas.DataFrame) -> pandas.DataFrame:
    """The ends of the lines with their labels, from the lowest line upwards."""
    named = ends["ending"].map(theme.ENDING_WORDS)
    share = ends["incidence"].map(lambda value: numbers.number(value, 0) + numbers.THIN + "%")
    return ends.assign(text=named + " " + share).sort_values(["title", "incidence"], kind="stable")


def spread(values: list[float], gap: float) -> list[float]:
    """Ascending places at least ``gap`` apart, each at its value or pushed up by the one below."""
    places: list[float] = []
    for value in values:
        places.append(max(value, places[-1] + gap) if places else max(value, gap / 2))
    return places


def _with_places(lines: pandas.DataFrame, height: int) -> pandas.DataFrame:
    """The labels moved apart where they would touch, given the height of a panel in pixels."""
    labels = lines[lines["text"].notna()]
    gap = LABEL_HEIGHT / height * 100
    places = labels.groupby("title", sort=False)["incidence"].transform(lambda ends: spread(list(ends), gap))
    return lines.assign(place=places)


def chart(frame: pandas.DataFrame, width: int) -> altair.TopLevelMixin:
    """Draw public.endings of one grouping: one wide panel, or small panels that share their axes."""
    lines = shown(frame)
    titles = [title for title in titles_by_size(frame).values() if title in set(lines["title"])]
    columns = 1 if len(titles) == 1 or theme.is_phone(width) else 2
    plot, height = (width - AXIS_ROOM) // columns - LABEL_ROOM, 260 if len(titles) == 1 else 130
    panel = altair.layer(*_layers(plot, horizon(frame)), data=_with_places(lines, height)).properties(
        width=plot, height=height
    )
    if len(titles) == 1:
        return panel
    header = altair.Header(title=None, labelLimit=plot + LABEL_ROOM)
    facet = altair.Facet("title:N", sort=titles, header=header)
    room = {"row": 44, "column": LABEL_ROOM}
    return panel.facet(facet, columns=columns, spacing=room, bounds="flush")


def _layers(plot: int, last: int) -> list[altair.Chart]:
    """Limits, lines and the labels at their ends."""
    known = list(DASHES)
    inks = [theme.ENDING_INKS[ending] for ending in known]
    colour = altair.Color("ending:N", scale=altair.Scale(domain=known, range=inks), legend=None)
    step = max(
        days for days in (10, 20, 30, 60, 120) if days == 10 or days * (6 if plot > 300 else 3) <= last
    )
    x = altair.X(
        "day:Q",
        scale=altair.Scale(domain=[0, last], nice=False),
        axis=altair.Axis(title="Days since admission", values=list(range(0, last + 1, step)), grid=False),
    )
    axis = altair.Axis(title="% of animals", tickCount=5, minExtent=30, maxExtent=30)
    percent = altair.Scale(domain=[0, 100])
    dashes = altair.Scale(domain=known, range=list(DASHES.values()))
    base = altair.Chart().encode(x=x, color=colour)
    y = altair.Y("incidence:Q", scale=percent, axis=axis)
    band = base.mark_area(interpolate="step-after", opacity=0.18)
    labels = altair.Chart().transform_filter("isValid(datum.text)")
    labels = labels.mark_text(align="left", dx=8, fontWeight=600, fontSize=13)
    return [
        band.encode(y=altair.Y("low:Q", scale=percent, axis=axis), y2="high:Q"),
        base.mark_line(interpolate="step-after", strokeWidth=2.5).encode(
            y=y, strokeDash=altair.StrokeDash("ending:N", scale=dashes, legend=None)
        ),
        labels.encode(x=x, y=altair.Y("place:Q", scale=percent, axis=axis), text="text:N", color=colour),
    ]


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words: where each line stands at the horizon."""
    ends = shown(frame)
    said = [
        f"{row.title}: {row.text} by day {horizon(frame)}{numbers.aside(row.low, row.high)}."
        for row in ends[ends["text"].notna()].itertuples()
    ]
    return f"Lines of the share of animals that had ended each way, by day since admission. {' '.join(said)}"
