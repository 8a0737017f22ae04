"""How all eligible animals would have ended under each strategy, day by day: a panel a question and outcome."""

import altair
import pandas

from unsnag_charts import numbers, theme
from unsnag_charts.endings import LABEL_HEIGHT
from unsnag_charts.ladder import LETTER, wrap

ORDER = ["released", "died or euthanased"]
ENDINGS = {"released": "released", "died": "died or euthanased", "euthanased": "died or euthanased"}
DASHES = [[1, 0], [6, 3], [2, 3], [8, 2, 2, 2]]
INKS = [theme.WATER, theme.ENDING_INKS["euthanased"], theme.ENDING_COLOURS["died"], theme.MUTED]
NO_BREAK = "\u2060"  # holds a number and its unit together while a label is wrapped
HEIGHT, AXIS_ROOM, LABEL_ROOM = 150, 56, 190  # pixels


def curves(frame: pandas.DataFrame) -> pandas.DataFrame:
    """One line a question, outcome and strategy: ``title``, ``strategy_label``, ``number``, ``day``, ``incidence``.

    Release before death, the strategy that others are compared with first.
    """
    frame = frame.assign(outcome=frame["ending"].map(ENDINGS), is_later=~frame["is_reference"])
    keys = ["question_label", "outcome", "is_later", "strategy_label", "day"]
    lines = frame.groupby(keys)["incidence"].sum().reset_index()
    rank = lines["outcome"].map(ORDER.index).rename("rank")
    lines = lines.assign(rank=rank).sort_values(["question_label", "rank", *keys[2:]], kind="stable")
    panel = lines["question_label"] + ": " + lines["outcome"]
    number = lines.groupby("question_label")["strategy_label"].transform(
        lambda names: pandas.factorize(names)[0]
    )
    return lines.assign(title=panel, number=number).reset_index(drop=True)


def _labelled(lines: pandas.DataFrame, letters: int) -> pandas.DataFrame:
    """The last point of each line with its label, moved apart where labels would touch."""
    ends = lines.groupby(["title", "strategy_label"], sort=False).tail(1)
    ends = ends.sort_values(["title", "incidence"], kind="stable")
    share = ends["incidence"].map(lambda value: numbers.number(value, 0) + NO_BREAK + "%")
    text = (ends["strategy_label"] + " " + share).map(lambda label: wrap(label, letters))
    line = LABEL_HEIGHT / HEIGHT * 100
    tall = (text.str.count("\n") + 1) * line
    middles = pandas.concat(
        [
            pandas.Series(_places(list(own["incidence"]), list(tall[own.index])), own.index)
            for _, own in ends.groupby("title", sort=False)
        ]
    )
    first_line = middles + (tall - line) / 2  # where Vega sets the first line; the others go below it
    return ends.assign(text=text.str.replace(NO_BREAK, numbers.THIN), place=first_line)


def _places(values: list[float], tall: list[float]) -> list[float]:
    """Middles of labels of these heights, at their values or pushed up by the one below, all within the panel."""
    places: list[float] = []
    top = 0.0
    for value, height in zip(values, tall, strict=True):
        places.append(max(value, top + height / 2))
        top = places[-1] + height / 2
    return [place - max(0.0, top - 100) for place in places]


def chart(frame: pandas.DataFrame, width: int) -> altair.TopLevelMixin:
    """Draw public.effect_curves: release and death of each question, a line a strategy."""
    room = 124 if theme.is_phone(width) else LABEL_ROOM
    lines = curves(frame)
    labels = _labelled(lines, int((room - 10) / LETTER))
    plot = width - AXIS_ROOM - room
    panels = [
        _panel(title, lines[lines["title"] == title], labels[labels["title"] == title], plot)
        for title in lines["title"].unique()
    ]
    return altair.vconcat(*panels, spacing=18)


def _panel(title: str, lines: pandas.DataFrame, labels: pandas.DataFrame, plot: int) -> altair.LayerChart:
    last = int(lines["day"].max())
    axis = altair.Axis(title="Days since admission", tickCount=5, grid=False)
    x = altair.X("day:Q", scale=altair.Scale(domain=[0, last], nice=False), axis=axis)
    y_axis = altair.Axis(title="% of animals", tickCount=5)
    percent = altair.Scale(domain=[0, 100])
    number = list(range(len(DASHES)))
    colour = altair.Color("number:O", scale=altair.Scale(domain=number, range=INKS), legend=None)
    dash = altair.StrokeDash("number:O", scale=altair.Scale(domain=number, range=DASHES), legend=None)
    line = altair.Chart(lines[["day", "incidence", "number"]]).mark_line(
        interpolate="step-after", strokeWidth=2.5
    )
    words = altair.Chart(labels[["day", "place", "number", "text"]]).mark_text(
        align="left", baseline="middle", dx=8, fontSize=13, fontWeight=600, lineHeight=LABEL_HEIGHT
    )
    return altair.layer(
        line.encode(
            x=x, y=altair.Y("incidence:Q", scale=percent, axis=y_axis), color=colour, strokeDash=dash
        ),
        words.encode(x=x, y=altair.Y("place:Q", scale=percent, axis=y_axis), text="text:N", color=colour),
    ).properties(width=plot, height=HEIGHT, title=altair.TitleParams(title, anchor="start", fontSize=14))


def alt_text(frame: pandas.DataFrame) -> str:
    """The picture in words: where each line ends."""
    ends = curves(frame).groupby(["title", "strategy_label"], sort=False).tail(1)
    said = [
        f"{row.title}, {row.strategy_label}: {numbers.percent(row.incidence)} by day {row.day}."
        for row in ends.itertuples()
    ]
    return f"Lines of the share of animals that would have ended so under each strategy. {' '.join(said)}"
