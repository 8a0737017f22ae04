"""The decimal sign: decided by the numbers that only one sign can read, and asked where both fit."""

import re
from collections.abc import Sequence
from typing import NamedTuple

from unsnag.draft.columns import Column

NUMBER_FROM = 0.7


class Sign(NamedTuple):
    """sign: "." or ",", "" where no number has either, None where the steward must say; why, in words."""

    sign: str | None
    why: str


def is_numbers(column: Column) -> bool:
    """Whether most of its cells are numbers."""
    return column.filled > 0 and column.number_share >= NUMBER_FROM


def decide(columns: Sequence[Column], has_typed_numbers: bool = False) -> Sign:
    """The sign of the source's numbers; '1,250' alone tells nothing, for the comma may part thousands.

    has_typed_numbers : a workbook's own numbers are shown with a point, whatever the clinic types beside them
    """
    values = [
        text
        for column in columns
        if is_numbers(column)
        for value in column.said
        if (text := _number_of(value.text)) and ("," in text or "." in text)
    ]
    if has_typed_numbers:
        values = [text for text in values if "," in text and not _fits(text, ".", ",")]
    point = [text for text in values if not _fits(text, ",", ".")]
    comma = [text for text in values if not _fits(text, ".", ",")]
    if point and comma:
        return Sign(None, f"some numbers need the point ({point[0]}), some the comma ({comma[0]})")
    if point:
        return Sign(".", f"{len(point)} numbers such as {point[0]}")
    if comma:
        return Sign(",", f"{len(comma)} numbers such as {comma[0]}")
    return (
        Sign(None, f"{values[0]} may be thousands or decimals")
        if values
        else Sign("", "no number has decimals")
    )


def _number_of(text: str) -> str:
    """The number that a text begins with, whatever unit follows it."""
    found = re.match(r"[-+]?[\d.,]*\d", text)
    return found[0] if found else ""


def _fits(text: str, decimal: str, thousands: str) -> bool:
    """Whether the number can be read with that decimal sign."""
    whole, _, _ = text.lstrip("+-").partition(decimal)
    groups = whole.split(thousands)
    is_grouped = len(groups[0]) <= 3 and all(len(group) == 3 for group in groups[1:])
    return (
        text.count(decimal) <= 1
        and thousands not in text.partition(decimal)[2]
        and (len(groups) == 1 or is_grouped)
    )
