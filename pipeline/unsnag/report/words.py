"""Sentences about rows: how a rate, a comparison or a share is said, always with its counts and interval."""

from dataclasses import dataclass

import pandas
from unsnag_charts.numbers import THIN, count, days, interval, is_missing, listing, number, percent

NINETY_FIVE = f"95{THIN}% interval"


@dataclass(frozen=True)
class Finding:
    """What rows say, in words computed from them.

    head     : the finding in a few words
    text     : its number, its counts and its interval
    is_clear : false where the animals are too few to tell
    """

    head: str
    text: str
    is_clear: bool = True


def lower_first(label: str) -> str:
    """A label as it stands inside a sentence."""
    return label[:1].lower() + label[1:]


def animals(number_of_animals: float) -> str:
    """A count of animals: "1 animal", "12 animals"."""
    return f"{count(number_of_animals)} animal{'' if number_of_animals == 1 else 's'}"


def row(frame: pandas.DataFrame, **where: object):
    """The one row whose columns have these values, or nothing."""
    for column, value in where.items():
        frame = frame[frame[column] == value]
    return next(frame.itertuples(index=False), None)


def rate(line) -> str:
    """A row of public.release_rates: percentage, counts and interval, or the counts and why there is no more."""
    if is_missing(line.numerator):
        return "withheld"
    counts = f"{count(line.numerator)} of {count(line.denominator)}"
    if is_missing(line.percent):
        return f"{counts}, too few for a percentage"
    return f"{percent(line.percent)} ({counts}; {NINETY_FIVE} {interval(line.wilson_low, line.wilson_high)})"


def share(line, total: float, what: str) -> str:
    """A row of public.shares: percentage, counts and exact interval."""
    limits = interval(line.exact_low, line.exact_high)
    return f"{percent(line.percent)} ({count(line.n)} of {count(total)} {what}; exact {NINETY_FIVE} {limits})"


def is_apart(one, other) -> bool:
    """Whether two rows' intervals leave a gap: a stricter test than comparing the two rates by themselves."""
    return one.wilson_low > other.wilson_high or other.wilson_low > one.wilson_high


def unresolved(line) -> str:
    """The animals of a row that have no known ending, in words; empty where there are none."""
    parts = [
        (line.pending, "still in care"),
        (line.transferred, "handed on to others"),
        (line.unknown, "lost from the records"),
    ]
    said = [f"{count(n)} {words}" for n, words in parts if not is_missing(n) and n > 0]
    return listing(said) if said else ""


def bounds(line) -> str:
    """How far the unresolved animals of a row can still move its rate."""
    return f"between {percent(line.bound_low)} and {percent(line.bound_high)}"


__all__ = [
    "NINETY_FIVE",
    "THIN",
    "Finding",
    "animals",
    "bounds",
    "count",
    "days",
    "interval",
    "is_apart",
    "is_missing",
    "listing",
    "lower_first",
    "number",
    "percent",
    "rate",
    "row",
    "share",
    "unresolved",
]
