"""How one fact of a cell reads: "{finding_date}: {finding}" as a pattern of DuckDB's regular expressions (RE2)."""

import re
from typing import NamedTuple

from unsnag.workspace.blocks import PLACEHOLDER
from unsnag.workspace.fields import kinds

MONTH = r"\pL{3,10}\.?"
DAY = (
    r"(?:\d{4}[-/.]\d{1,2}[-/.]\d{1,2}|\d{1,2}[-/.]\d{1,2}(?:[-/.]\d{4}|[-/.]\d{2}|\.)?"
    rf"|\d{{1,2}}[ -]{MONTH}(?:,?[ -]\d{{4}}|,?[ -]\d{{2}})?|{MONTH} \d{{1,2}},? \d{{4}})"
    r"(?:[T ]\d{1,2}:\d\d(?::\d\d(?:\.\d+)?)?(?:Z|[+-]\d\d:?\d\d)?)?"
)
PATTERNS = {"date": DAY, "number": r"[-+]?[0-9][0-9.,]*", "count": "[0-9]+"}
BREAK = "\x1f"


class Form(NamedTuple):
    """A form as a pattern for a whole fact, and the field of each of its groups."""

    pattern: str
    fields: tuple[str, ...]


def form_of(record: str, form: str) -> Form:
    """The pattern of a form; blanks of the form stand for any blanks, and may be missing beside a sign."""
    parts = PLACEHOLDER.split(form.strip())
    kind = kinds(record)
    fields = tuple(parts[1::2])
    texts = [_literal(text) for text in parts[::2]]
    groups = [f"({PATTERNS.get(kind[name], '.*?')})" for name in fields]
    pattern = texts[0] + "".join(group + text for group, text in zip(groups, texts[1:], strict=True))
    return Form(rf"(?s)\s*{pattern}\s*", fields)


def _literal(text: str) -> str:
    if text and text.isspace():
        return r"\s+"
    words = [re.escape(word) for word in text.split()]
    return rf"\s*{(chr(92) + 's*').join(words)}\s*" if words else ""


def separator_of(between: tuple[str, ...]) -> str:
    """The pattern at which a cell is parted; a line end always parts."""
    return "|".join([r"\n", *(re.escape(word) for word in between)])
