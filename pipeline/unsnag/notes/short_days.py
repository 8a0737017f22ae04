"""Days that look like values: ``9.1 film clear`` and ``07-25 released`` are days by the habit of their note.

One such number alone may be a weight, a level or a span, and stays what it is unless an ending is told right before
it (``rel 9.3``) or it opens a later line of the note. Several that go forward as a diary does are days: they are
written with a slash, in the clinic's order, and no offset moves.
"""

import itertools
import re
from collections.abc import Collection, Iterator, Mapping, Sequence

from unsnag.notes.dates import When, read_when

MAY_BE_SHORT = re.compile(r"\d[.-]\d")
SHORT = re.compile(r"(?<![\w./-])(\d{1,2})([.-])(\d{1,2})(?!\w|[/-]|\.\d|%)")
WORD_BEFORE = re.compile(r"([a-z]+)[ :.]{0,2}\Z")
WORD_BEHIND = re.compile(r" ?([a-z]+)")
OPENS_A_LINE = re.compile(r"\n *\Z")
HEADS = re.compile(r"(?:\A|[\n.;])\s*\Z")
ISO = re.compile(r"\b\d{4}-\d{2}-\d{2}\b")
DAY_FIRST, MONTH_FIRST = "dmy", "mdy"
A_HABIT = 2
AT_MOST_APART = 3  # months between two entries of one stay
MONTHS = 12
TWO_FIGURES = 2
LONGEST = 20  # characters before a number that are looked at


def slashed(folded: str, date_order: str, lists: Mapping[str, Collection[str]]) -> str:
    """The note with its short days written with a slash; of exactly the same length.

    folded     : the folded note
    date_order : the clinic's habit, in which the days are then written
    lists      : ``unit`` behind a quantity, ``measured`` before a value, ``day_told_after`` before a day
    """
    if not MAY_BE_SHORT.search(folded):
        return folded
    found = list(_short(folded, lists))
    for mark, order in ((".", DAY_FIRST), ("-", _hyphened_order(folded, found, date_order))):
        days = [each for each in found if each[2] == mark and _in_order(each, order)]
        if _is_a_diary(days, order, lists):
            for each in days:
                folded = folded[: each.start()] + _with_slash(each, order, date_order) + folded[each.end() :]
    return folded


def _short(folded: str, lists: Mapping[str, Collection[str]]) -> Iterator[re.Match]:
    """Numbers that may be a day: not with a unit behind or the name of a value before them."""
    for match in SHORT.finditer(folded):
        if folded.startswith(".", match.end()) and _before(match, HEADS):
            continue  # ``9.1. film clear`` is a day to everybody
        behind = WORD_BEHIND.match(folded, match.end())
        is_quantity = behind is not None and behind[1] in lists["unit"]
        if not is_quantity and _word_before(match) not in lists["measured"]:
            yield match


def _hyphened_order(folded: str, found: Sequence[re.Match], date_order: str) -> str:
    """Month first beside days as the ISO standard writes them, or if one can be nothing else."""
    only_month_first = any(each[2] == "-" and int(each[1]) <= MONTHS < int(each[3]) for each in found)
    return MONTH_FIRST if only_month_first or ISO.search(folded) else date_order


def _in_order(match: re.Match, order: str) -> When | None:
    """The day in just that order: ``read_when`` itself would turn to the other."""
    when = read_when(f"{match[1]}/{match[3]}", order)
    month = int(match[1] if order == MONTH_FIRST else match[3])
    return when if when and when.month == month else None


def _is_a_diary(days: Sequence[re.Match], order: str, lists: Mapping[str, Collection[str]]) -> bool:
    """Days that go forward, two or more unless one is told as only days are, and one of them marked as a day."""
    told = any(_word_before(each) in lists["day_told_after"] or _before(each, OPENS_A_LINE) for each in days)
    is_marked = len(days) >= A_HABIT and any(map(_is_marked, days))
    whens = [_in_order(each, order) for each in days]
    steps = [
        (later.month - earlier.month) % MONTHS
        for earlier, later in itertools.pairwise(whens)
        if later.month != earlier.month or later.day < earlier.day
    ]
    return (told or is_marked) and all(0 < step <= AT_MOST_APART for step in steps)


def _is_marked(match: re.Match) -> bool:
    """Two figures each, one with a nought before it, or at the head of an entry."""
    has_nought = len(match[1]) == len(match[3]) == TWO_FIGURES and "0" in (match[1][0], match[3][0])
    return has_nought or _before(match, HEADS) is not None


def _word_before(match: re.Match) -> str:
    before = _before(match, WORD_BEFORE)
    return before[1] if before else ""


def _before(match: re.Match, pattern: re.Pattern) -> re.Match | None:
    """What stands right before a match."""
    return pattern.search(match.string, max(match.start() - LONGEST, 0), match.start())


def _with_slash(match: re.Match, order: str, date_order: str) -> str:
    """In the clinic's order: what follows reads days in no other."""
    swaps = (order == MONTH_FIRST) != (date_order == MONTH_FIRST)
    first, second = (match[3], match[1]) if swaps else (match[1], match[3])
    return f"{first}/{second}"
