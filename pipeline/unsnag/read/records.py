"""What every format is turned into: a header and numbered records of text cells."""

import math
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import NamedTuple


class Refusal(NamedTuple):
    """Why a record is not stored, and what to do; its cells are left in the file, for they may be private."""

    reason: str
    remedy: str


class CutShort(list):
    """The cells of a last record that has fewer cells than the header and no line end."""


class Records(NamedTuple):
    """A file's table.

    columns    : header cells as they stand in the file
    rows       : (row in the file as a person counts, cells or a refusal), blank records skipped
    title_rows : rows above the header row
    """

    columns: tuple[str, ...]
    rows: Iterator[tuple[int, list[str] | Refusal]]
    title_rows: int = 0


def as_text(value: object, decimal: str = ".") -> str:
    """A typed cell as text: ISO dates and times, no '.0', no exponent, the clinic's decimal sign."""
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float | Decimal):
        return number_text(value).replace(".", decimal)
    if isinstance(value, timedelta):
        return _duration_text(value)
    if isinstance(value, datetime) and value.time() == time.min:
        return value.date().isoformat()
    if isinstance(value, date | time):
        return value.isoformat()
    return str(value)


def number_text(value: float | Decimal) -> str:
    """The shortest plain digits that give the number back; an undefined number is no value."""
    if not math.isfinite(value):
        return ""
    digits = format(Decimal(str(value)), "f")
    return digits.rstrip("0").rstrip(".") if "." in digits else digits


def _duration_text(value: timedelta) -> str:
    """Hours may pass 24, as Excel's [h]:mm:ss shows them."""
    seconds = round(value.total_seconds())
    sign = "-" if seconds < 0 else ""
    hours, rest = divmod(abs(seconds), 3600)
    return f"{sign}{hours}:{rest // 60:02}:{rest % 60:02}"
