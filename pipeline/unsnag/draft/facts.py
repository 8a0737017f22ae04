"""Several dated facts in one cell ("12/3: in place; 19/3: moved"): what parts them and how one reads."""

import re
from collections import Counter
from collections.abc import Sequence

from unsnag.draft import headings
from unsnag.draft.columns import Column
from unsnag.draft.shapes import Block
from unsnag.draft.vocabularies import Vocabularies
from unsnag.layout_cells import MAIN_FIELDS
from unsnag.layout_facts import DAY
from unsnag.read.names import fold

PARTING = (";", "|", "\n", " / ", ",")
PYTHON_DAY = DAY.replace(r"\pL", r"[^\W\d_]")
SEVERAL_FROM = 0.2


def facts_block(column: Column, words: Vocabularies) -> Block | None:
    """A block for a column whose cells hold several dated facts, if their words are ones that repeat."""
    several = sum(value.times for value in column.said if value.days >= 2)
    if column.filled < 3 or several < SEVERAL_FROM * column.filled:
        return None
    texts = [value.text for value in column.said for _ in range(value.times)]
    between = _parting(texts)
    pieces = [piece.strip() for text in texts for piece in _pieces(text, between) if piece.strip()]
    sign = _sign_behind_day(pieces)
    if sign is None:
        return None
    said = Counter(re.sub(rf"^{PYTHON_DAY}", "", piece).strip(" =:-–") for piece in pieces)
    facts = Counter({fold(text): 0 for text in said})
    for text, times in said.items():
        facts[fold(text)] += times
    record = max(("finding", "procedure"), key=lambda name: _speaks_for(name, column.name, facts, words))
    # Prose with days in it is a diary, and read by the rules for notes.
    if len(facts) > 0.5 * len(pieces) and words.share_known(record, facts) < 0.3:
        return None
    form = f"{{{record}_date}}{sign}{{{MAIN_FIELDS[record]}}}"
    yearless = not any(re.search(r"\d{4}|\d[-/.]\d{1,2}[-/.]\d", piece) for piece in pieces)
    return Block(
        record,
        (),
        facts=(column.name, between, form),
        members=(column.name,),
        lacks_years=yearless,
        told=tuple(sorted(said.items())),
    )


def _parting(texts: Sequence[str]) -> str:
    """What parts facts; "" if nothing does and each begins with its day."""
    for sign in PARTING:
        pieces = [piece for text in texts for piece in text.split(sign) if piece.strip()]
        dated = [len(re.findall(PYTHON_DAY, piece)) for piece in pieces]
        if dated and sum(count == 1 for count in dated) >= 0.85 * len(dated):
            return sign
    return ""


def _pieces(text: str, between: str) -> list[str]:
    if between:
        return text.split(between)
    return re.sub(f"({PYTHON_DAY})", "\x1f\\1", text).split("\x1f")


def _sign_behind_day(pieces: Sequence[str]) -> str | None:
    """What stands between a fact's day and its words, if most facts begin with their day."""
    signs = Counter(
        match[1] for piece in pieces if (match := re.match(rf"{PYTHON_DAY}(\s*[:–=-]\s*|\s+)", piece))
    )
    if sum(signs.values()) < 0.7 * len(pieces):
        return None
    sign = signs.most_common(1)[0][0].strip()
    return f"{sign} " if sign else " "


def _speaks_for(record: str, name: str, facts: Counter[str], words: Vocabularies) -> float:
    heading = headings.likeness(name, record, MAIN_FIELDS[record])
    return heading + words.share_known(record, facts)
