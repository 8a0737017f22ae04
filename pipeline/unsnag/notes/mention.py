"""What reading a note yields."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

FIRMEST_FIRST = ("present", "uncertain", "absent", "history")


@dataclass(frozen=True, slots=True)
class Mention:
    """One thing that a note says.

    axis, code : the field and the shared code of sql/codes
    start, end : where the words stand in the note, characters; text = note[start:end]
    status     : present, uncertain (queried, suspected, planned), absent (denied, refused) or history (an
                 earlier time)
    date       : the day to which the note ties it, None if it ties it to none
    result     : of an attempt to remove gear: success, partial, failed, abandoned; of lead_level: the value
                 as written
    rule       : id in notes_rules.csv; ``site_…`` for an injury that follows from where gear sits
    why        : the reasoning, a sentence
    """

    axis: str
    code: str
    start: int
    end: int
    text: str
    status: str
    date: datetime.date | None
    result: str | None
    rule: str
    why: str


def firmest(mentions: Iterable[Mention]) -> list[Mention]:
    """One mention for each axis, code, date and result: the firmest status, then the first in the note."""
    best: dict[tuple, Mention] = {}
    for mention in sorted(mentions, key=lambda each: (FIRMEST_FIRST.index(each.status), each.start)):
        best.setdefault((mention.axis, mention.code, mention.date, mention.result), mention)
    return sorted(best.values(), key=lambda each: (each.start, each.axis, each.code))
