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
