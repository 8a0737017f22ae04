"""Measured values in a note, as written."""

import re

REACH = 25
VALUE = re.compile(
    r"(?<![\d/.,])(?P<number>[<>]? ?\d+(?:[.,]\d+)?)"
    r"(?: ?(?P<unit>ppm|(?:u|µ|μ|m|mc|micro)(?:g|mol)/d?l|mg/kg))?(?![\d/])",
    re.IGNORECASE,
)

MICRO = "(?:u|µ|μ|mc|micro)"
BACKGROUND = ((f"{MICRO}g/dl", 20), (f"{MICRO}g/l", 200), (f"{MICRO}mol/l", 200 / 207.2), ("ppm|mg/l", 0.2))


def value_near(text: str, start: int, end: int) -> str | None:
    """The first number in or shortly after [start, end), with its unit if one follows, as ``0.45 ppm``.

    Days (``8/6``) are no values. None if no number stands there.
    """
    match = VALUE.search(re.split(r"[;\n]|\.\s", text[start : end + REACH])[0])
    if not match:
        return None
    return " ".join(filter(None, (match["number"].replace(" ", ""), match["unit"])))


def is_low_lead(value: str | None) -> bool:
    """Whether a blood level, as ``value_near`` gives it, is within background: below 20 µg/dl, 0.2 ppm or 0.97 µmol/l.

    The limit for waterfowl is that of Franson & Pain (2011), from memory; the molar mass of lead is 207.2 g/mol.
    Without a unit nobody can tell.
    """
    match = re.match(r"([<>]?)([\d.,]+) (.+)", value or "")
    if not match:
        return False
    number = float(match[2].replace(",", "."))
    unit = match[3].lower()
    limit = next((limit for written, limit in BACKGROUND if re.fullmatch(written, unit)), 0)
    return number < limit and match[1] != ">"
