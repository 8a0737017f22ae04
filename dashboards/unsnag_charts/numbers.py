"""How numbers are written, in pictures, tables and sentences alike."""

import pandas

THIN = "\u202f"  # a narrow blank that keeps a number with its unit
FIGURE = "\u2007"  # a blank as wide as a figure, to align decimals
NONE = "–"


def is_missing(value: object) -> bool:
    """Whether a cell holds no value."""
    return bool(pandas.isna(value))


def count(value: float | None) -> str:
    """A whole number with its thousands marked; a dash where there is none."""
    return NONE if is_missing(value) else f"{int(value):,}"


def number(value: float | None, digits: int = 1) -> str:
    """A number with a fixed count of decimals; a dash where there is none."""
    if is_missing(value):
        return NONE
    text = f"{value:,.{digits}f}"
    return text.replace("-", "−") if float(text.replace(",", "")) else text.lstrip("-")


def p_value(value: float | None) -> str:
    """A chance that a test gives, to three decimals; below that only that it is below."""
    return "< 0.001" if not is_missing(value) and value < 0.001 else number(value, 3)


def percent(value: float | None) -> str:
    """A percentage (0 to 100) to one decimal, with its sign."""
    return NONE if is_missing(value) else f"{number(value)}{THIN}%"


def span(low: float | None, high: float | None, digits: int = 1) -> str:
    """Two limits as words; a dash where either is missing."""
    return NONE if is_missing(low) or is_missing(high) else f"{number(low, digits)} to {number(high, digits)}"


def interval(low: float | None, high: float | None) -> str:
    """Two limits in percent as words."""
    return NONE if is_missing(low) or is_missing(high) else f"{span(low, high)}{THIN}%"


def aside(low: float | None, high: float | None) -> str:
    """Two limits in percent as an aside after a percentage; nothing where there are none."""
    return "" if is_missing(low) or is_missing(high) else f" (interval {interval(low, high)})"


def days(value: float | None) -> str:
    """A length of stay, in days; half days only where the median falls between two."""
    if is_missing(value):
        return NONE
    text = f"{value:,.1f}".removesuffix(".0")
    return f"{text} day{'' if text == '1' else 's'}"


def listing(words: list[str]) -> str:
    """Words joined as a sentence lists them: a, b and c."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
