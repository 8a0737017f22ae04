"""Day first or month first: decided by the days that only one order can read, and asked where both fit."""

from collections.abc import Sequence
from typing import NamedTuple

from unsnag.draft import headings
from unsnag.draft.columns import Column, Value

DATE_FROM = 0.6
OUTNUMBERED = 20


class Order(NamedTuple):
    """order: "dmy", "mdy", "" where every day begins with its year, None where the steward must say; why, in words."""

    order: str | None
    why: str


def is_dates(column: Column) -> bool:
    """Whether most of its cells are days; '4/5' is one only under a heading that speaks of days."""
    if column.filled == 0 or column.day_share >= DATE_FROM:
        return column.filled > 0
    return column.share("yearless") + column.day_share >= DATE_FROM and headings.speaks_of_days(column.name)


def decide(columns: Sequence[Column]) -> Order:
    """The order of the source's days."""
    values = [(column, value) for column in columns if is_dates(column) for value in column.said]
    day_first = [(column, value) for column, value in values if _only(value, "dmy", "mdy")]
    month_first = [(column, value) for column, value in values if _only(value, "mdy", "dmy")]
    both = [(column, value) for column, value in values if value.differs or value.yearless_differs]
    if day_first and month_first:
        return _disputed(day_first, month_first)
    if day_first:
        return Order("dmy", f"{_count(day_first)} days can only be day first, such as {_example(day_first)}")
    if month_first:
        return Order(
            "mdy", f"{_count(month_first)} days can only be month first, such as {_example(month_first)}"
        )
    if both:
        return Order(None, f"every day fits both orders, such as {_example(both)}")
    return Order("", "every day can be read in one way only")


def _only(value: Value, order: str, other: str) -> bool:
    """Readable in one order alone; a day that starts with its year is read in both, so it tells nothing."""

    def fits(way: str) -> bool:
        return getattr(value, way) or getattr(value, f"yearless_{way}")

    return fits(order) and not fits(other)


def _disputed(day_first: list, month_first: list) -> Order:
    """Both kinds stand in the file: some slips among many are checks' business, a mixture is a question."""
    first, second = _count(day_first), _count(month_first)
    said = f"{first} days can only be day first ({_example(day_first)}), "
    said += f"{second} only month first ({_example(month_first)})"
    if first >= OUTNUMBERED * second:
        return Order("dmy", f"{said}: those few will be questioned")
    if second >= OUTNUMBERED * first:
        return Order("mdy", f"{said}: those few will be questioned")
    return Order(None, said)


def _count(found: list[tuple[Column, Value]]) -> int:
    return sum(value.times for _, value in found)


def _example(found: list[tuple[Column, Value]]) -> str:
    column, value = found[0]
    return f"{value.text} in '{column.name}'"
