"""Calendar days and day counts in a note: which day is written, and which admission year it falls in."""

import datetime
import re
from typing import NamedTuple

MONTHS = {
    name: number
    for number, names in enumerate(
        (
            "jan january ene enero",
            "feb february febrero",
            "mar march marzo",
            "apr april abr abril",
            "may mayo",
            "jun june junio",
            "jul july julio",
            "aug august ago agosto",
            "sep sept september septiembre setiembre",
            "oct october octubre",
            "nov november noviembre",
            "dec december dic diciembre",
        ),
        start=1,
    )
    for name in names.split()
}
MONTH = "(?:" + "|".join(sorted(MONTHS, key=len, reverse=True)) + r")\b(?:\.(?= ?\d))?"
_YEAR = r"(?:\d{4}|\d{2}(?!\s*[a-z]))\b"
_DAY = r"\d{1,2}(?:st|nd|rd|th)?"
# 5-6 feb, 1 to 6 january: its first day.
_SPAN = rf"{_DAY} ?(?:-|–|to|until|till|al?|hasta) ?(?:el )?(?={_DAY})"
DATE = (
    r"(?<![\w./-])(?:"
    r"\d{4}-\d{1,2}-\d{1,2}\b|\d{4}/\d{1,2}/\d{1,2}\b"
    r"|\d{1,2}/\d{1,2}/(?:\d{4}|\d{2})\b|\d{1,2}-\d{1,2}-(?:\d{4}|\d{2})\b"
    r"|\d{1,2}\.\d{1,2}\.(?:\d{4}|\d{2})(?!\d)|\d{1,2}/\d{1,2}\b(?!/)"
    r"|(?:\A|(?<=\n)|(?<=[.;,] ))\d{1,2}\.\d{1,2}\.(?= )"  # heads an entry; elsewhere it may be a value
    rf"|(?:{_SPAN})?{_DAY}[ /-]?(?:of |de )?{MONTH}(?:[ /-]?(?:del? )?{_YEAR})?"
    rf"|{MONTH} {_DAY}\b(?![/.]\d)(?:,? \d{{4}}\b)?"  # DIC 11/11: died in care on a day of November
    r"|(?:days? ?|dia |d)\d{1,3}\b(?! of|[/.-]\d)"
    r")"
)
_BEFORE_A_DAY = "|".join(sorted({name[-3:] for name in MONTHS} | {"day", "ays", "dia"}))
# A digit with a month, "day" or another number close by: quickly tried, so that few notes are searched.
MAY_BE_DATE = re.compile(
    rf"\d(?:[./-]\d|(?:st|nd|rd|th)?[ /-]?(?:of |de )?{MONTH}"
    rf"|(?<=(?:{_BEFORE_A_DAY})\d)|(?<=(?:{_BEFORE_A_DAY}) \d)|(?<=d\d)|(?<=d \d))"
)
STATED_ORDERS = ("dmy", "mdy")
EARLIEST_BEFORE_ADMISSION = datetime.timedelta(days=31)


class When(NamedTuple):
    """A day as written: month and day with a year if one stood there, or a number of days after admission.

    is_open : nobody has said which of the two numbers is the month
    """

    year: int | None = None
    month: int = 0
    day: int = 0
    days_after: int | None = None
    is_open: bool = False


def read_when(written: str, date_order: str = "dmy") -> When | None:
    """The day that a matched text names, or None if it can be no day (a fraction, a score).

    written    : folded text that DATE matched
    date_order : dmy or mdy, the clinic's habit; an impossible month is read the other way round. With any other
                 habit what can be read in two ways is a day that stays open
    """
    numbers = [int(number) for number in re.findall(r"\d+", written)]
    if re.match(r"d(ays?|ia)? ?\d", written):
        return When(days_after=numbers[0])
    named = next((word for word in re.findall(r"[a-z]+", written) if word in MONTHS), None)
    if named:
        if re.match(_SPAN, written):
            del numbers[1]
        return _checked(_full_year(numbers[1:]), MONTHS[named], numbers[0])
    if len(numbers) == 3 and numbers[0] > 31:
        return _checked(numbers[0], numbers[1], numbers[2])
    first, second = numbers[:2]
    day, month = (second, first) if date_order == "mdy" else (first, second)
    year = _full_year(numbers[2:])
    either = _checked(year, month, day), _checked(year, day, month)
    if date_order not in STATED_ORDERS and None not in either and either[0] != either[1]:
        return When(year, first, second, is_open=True)
    return either[0] or either[1]


def _full_year(numbers: list[int]) -> int | None:
    if not numbers:
        return None
    return numbers[0] + 2000 if numbers[0] < 70 else numbers[0] + 1900 if numbers[0] < 100 else numbers[0]


def _checked(year: int | None, month: int, day: int) -> When | None:
    """None for a day that no calendar has; without a year the 29th of February may pass."""
    try:
        datetime.date(2000 if year is None else year, month, day)
    except ValueError:
        return None
    return When(year, month, day)


def resolve(
    when: When | None, admission_date: datetime.date | None, last_date: datetime.date | None = None
) -> datetime.date | None:
    """The calendar day, or None if it cannot be known.

    A day without a year is the one in the year after admission, or in the month before it: an animal may have
    been found, or filmed elsewhere, shortly before it came. If that lies after the last day of which the note can
    tell, the year is not known.
    """
    if when is None or when.is_open:
        return None
    if when.days_after is not None:
        return admission_date + datetime.timedelta(days=when.days_after) if admission_date else None
    if when.year is not None:
        return datetime.date(when.year, when.month, when.day)
    day = _in_stay(when, admission_date) if admission_date else None
    return None if day and last_date and day > last_date else day


def _in_stay(when: When, admission_date: datetime.date) -> datetime.date | None:
    for year in (admission_date.year - 1, admission_date.year, admission_date.year + 1):
        try:
            day = datetime.date(year, when.month, when.day)
        except ValueError:
            continue
        if day >= admission_date - EARLIEST_BEFORE_ADMISSION:
            return day
    return None
