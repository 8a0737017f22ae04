"""Measured values in a note, as written."""

import re

REACH = 25
VALUE = re.compile(
    r"(?<![\d/.,])(?P<number>[<>]? ?\d+(?:[.,]\d+)?)"
    r"(?: ?(?P<unit>ppm|(?:u|µ|μ|m)(?:g|mol)/d?l|mg/kg))?(?![\d/])",
    re.IGNORECASE,
)


def value_near(text: str, start: int, end: int) -> str | None:
    """The first number in or shortly after [start, end), with its unit if one follows, as ``0.45 ppm``.

    Days (``8/6``) are no values. None if no number stands there.
    """
    match = VALUE.search(re.split(r"[;\n]|\.\s", text[start : end + REACH])[0])
    if not match:
        return None
    return " ".join(filter(None, (match["number"].replace(" ", ""), match["unit"])))


def is_low_lead(value: str | None) -> bool:
    """Whether a blood level, as ``value_near`` gives it, is within background: below 20 µg/dl or 0.2 ppm.

    The limit for waterfowl is that of Franson & Pain (2011), from memory. Without a unit nobody can tell.
    """
    match = re.match(r"([<>]?)([\d.,]+) (.+)", value or "")
    if not match:
        return False
    number = float(match[2].replace(",", "."))
    unit = match[3].lower()
    limit = 20 if re.match(r"[uµμ]g/d", unit) else 0.2 if unit in ("ppm", "mg/l") else 0
    return number < limit and match[1] != ">"
