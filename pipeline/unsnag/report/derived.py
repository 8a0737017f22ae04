"""What the report counts from the published rows: nothing here that a reader could not count from them too."""

from collections.abc import Callable
from dataclasses import dataclass

import pandas
from unsnag_charts.theme import ENDING_WORDS

from unsnag.report import effects_in_words, site_frames, words
from unsnag.report.published import Published

DAYS = (1, 7, 14, 30, 60, 90, 180, 365)


@dataclass(frozen=True)
class Fact:
    """A figure to be set large, what it counts, and what belongs to it in small."""

    value: str
    label: str
    detail: str = ""
    is_headline: bool = False


def facts_of_year(published: Published, year: int) -> list[Fact]:
    """The year in numbers, from the ways of counting it in public.release_rates; nothing where it is withheld."""
    rates = published.frames["release_rates"]
    rates = rates[(rates["grouping"] == "admission_year") & (rates["group_code"] == str(year))]
    lines = {
        line.convention: line
        for line in rates.itertuples(index=False)
        if not words.is_missing(line.numerator)
    }
    if not {"crude", "alive_on_arrival", "resolved"} <= set(lines):
        return []
    received, alive, known = (lines[name] for name in ("crude", "alive_on_arrival", "resolved"))
    return [
        Fact(words.count(received.denominator), "animals injured by tackle were taken in"),
        Fact(words.count(received.denominator - alive.denominator), "of them were dead on arrival"),
        Fact(words.count(alive.denominator), "came alive"),
        Fact(
            words.count(known.denominator),
            "of these are known to have been released, died or been euthanased",
        ),
        *_release_facts(known),
    ]


def _release_facts(known) -> list[Fact]:
    """The headline rate with its interval, and what the open cases can still do to it."""
    open_cases = known.pending + known.transferred + known.unknown
    released = f"{words.count(known.numerator)} of {words.count(known.denominator)}"
    if words.is_missing(known.percent):
        return [Fact(released, "were released", "too few for a percentage")]
    limits = words.interval(known.wilson_low, known.wilson_high)
    return [
        Fact(
            words.percent(known.percent),
            "of these were released",
            f"{released}; {words.NINETY_FIVE} {limits}",
            True,
        ),
        Fact(
            words.count(open_cases),
            "have no known ending",
            f"depending on them, the rate lies {words.bounds(known)}" if open_cases else "",
        ),
    ]


# The blocks of the picture of the year: colour, label, classes of ending. The dead on arrival stand apart.
BLOCKS = [
    ("released", "Released", ["released"]),
    ("died", "Died in care", ["died"]),
    ("euthanased", "Euthanased", ["euthanased"]),
    (
        "unresolved",
        "Still in care, handed on or lost from the records",
        ["pending", "transferred", "unknown"],
    ),
    ("other", "Kept in captivity, or another known ending", ["captive", "other_known"]),
]


def animals_of_year(published: Published, year: int) -> pandas.DataFrame:
    """The year's tackle cases by how they stand: ``ending``, ``label``, ``animals``; dead on arrival last."""
    cases = published.frames["cases"]
    cases = cases[cases["is_tackle"] & (cases["admission_year"] == year)]
    is_alive = cases["is_alive_on_arrival"]
    alive = cases[is_alive].groupby("outcome_class")["animals"].sum()
    rows = [(ending, label, alive[alive.index.isin(classes)].sum()) for ending, label, classes in BLOCKS]
    rows.append(("dead_on_arrival", "Dead on arrival", cases[~is_alive]["animals"].sum()))
    frame = pandas.DataFrame(rows, columns=["ending", "label", "animals"])
    return frame[frame["animals"] > 0].reset_index(drop=True)


def injuries_by_taxon_group(published: Published, year: int) -> pandas.DataFrame:
    """Tackle cases of all years for every pair of group of animals and injury: codes, labels and ``animals``.

    The groups and the injuries with most animals come first, those that are not stated or withheld last.
    """
    cases = published.frames["cases"]
    cases = cases[cases["is_tackle"]].fillna({"taxon_group_code": "not_stated", "injury_code": "not_stated"})
    table = cases.pivot_table("animals", "taxon_group_code", "injury_code", "sum", fill_value=0)
    frame = table.stack().rename("animals").astype(int).reset_index()
    for feature in ("injury", "taxon_group"):
        codes = frame[f"{feature}_code"]
        frame = frame.assign(
            **{f"{feature}_label": codes.map(_labels(published, feature))},
            is_silent=codes.isin(["not_stated", "withheld"]),
            size=frame.groupby(f"{feature}_code")["animals"].transform("sum"),
        ).sort_values(["is_silent", "size", f"{feature}_code"], ascending=[True, False, True], kind="stable")
    return frame.drop(columns=["is_silent", "size"])


def _labels(published: Published, grouping: str) -> Callable[[str], str]:
    """The words of a feature's codes, as public.release_rates writes them."""
    rates = published.frames["release_rates"]
    rates = rates[rates["grouping"] == grouping]
    labels = dict(zip(rates["group_code"], rates["group_label"], strict=True))
    return lambda code: labels.get(code) or published.words.get(code, code)


def endings_at_days(published: Published, year: int) -> pandas.DataFrame:
    """public.endings as it stands on a few days: per group and ending the last row up to each of DAYS."""
    frame = published.frames["endings"]
    frame = frame.assign(ending_label=frame["ending"].map(ENDING_WORDS))
    last = frame.groupby("grouping")["day"].transform("max")
    steps = [
        frame[(frame["day"] <= day) & (day <= last)]
        .sort_values("day", kind="stable")
        .groupby(["grouping", "group_code", "ending"], sort=False)
        .tail(1)
        .assign(day=day)
        for day in DAYS
    ]
    return pandas.concat(steps, ignore_index=True).drop(columns="at_risk")


# Name in report.toml → the public tables that it needs, and how it is counted.
FRAMES = {
    "animals_of_year": (("cases",), animals_of_year),
    "endings_at_days": (("endings",), endings_at_days),
    "injuries_by_taxon_group": (("cases", "release_rates"), injuries_by_taxon_group),
    **effects_in_words.FRAMES,
    **site_frames.FRAMES,
}
