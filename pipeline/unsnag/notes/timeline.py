"""Which day of a note belongs to which words."""

import dataclasses
import re
from collections.abc import Collection, Mapping, Sequence
from typing import NamedTuple

from unsnag.notes.dates import When, read_when
from unsnag.notes.match import Candidate
from unsnag.notes.tokens import BREAKS, Words

DATED = {"procedure", "finding", "outcome", "seen_again", "arrival"}
SHOWN = "gear_"
Lists = Mapping[str, Collection[str]]  # notes_words.csv: name to words
DAY_OF_MONTH = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?")


class Day(NamedTuple):
    """A day at one word of the note."""

    word: int
    when: When


def days_of(words: Words, folded: str, date_order: str, lists: Lists) -> list[Day]:
    """The calendar days and day counts of a note, in order, without scores and fractions."""
    days = []
    for word, token in enumerate(words.words):
        if token != "<date>":
            continue
        written = folded[slice(*words.spans[word])]
        if _is_score(words.words, word, written, lists):
            continue
        when = read_when(written, date_order)
        if when and not (
            when.days_after is not None and words.words[word - 1] in lists["no_day_count_after"]
        ):
            days += [*_same_month(words.words, Day(word, when), lists), Day(word, when)]
    return days


def _is_score(words: list[str], word: int, written: str, lists: Lists) -> bool:
    before = words[word - 1] if word else ""
    after = words[word + 1] if word + 1 < len(words) else ""
    is_part = after in lists["no_day_before"] and not written.startswith("0")
    return before in lists["no_day_after"] or is_part


def _same_month(words: list[str], last: Day, lists: Lists) -> list[Day]:
    """The days before ``and`` that share the month of the last: ``on 9, 11 and 13 January``."""
    days: list[Day] = []
    word, before = last.word - 2, last.when.day
    if last.when.days_after is not None or words[word + 1] not in lists["joins"]:
        return days
    while (number := DAY_OF_MONTH.fullmatch(words[word])) and 0 < int(number[1]) < before:
        before = int(number[1])
        days.insert(0, Day(word, last.when._replace(day=before)))
        if words[word - 1] != ",":
            break
        word -= 2
    return days


def set_days(words: Words, candidates: Sequence[Candidate], days: list[Day], lists: Lists) -> list[Candidate]:
    """Tie dated candidates to the nearest day in their clause (or alone in the next), else to the last.

    A day at the end of its sentence (``amputated 15 September.``) says nothing of the sentences that follow;
    one with words behind it (``12/3: X-ray clear``) heads them. Of two days joined by ``and`` both get the
    candidate.
    """
    tied, dated = [], [each for each in candidates if each.axis in DATED]
    for candidate in candidates:
        tied.append(candidate)
        day = _day_of(candidate, words, days, dated, lists) if days and candidate.axis in DATED else None
        if day is None:
            continue
        candidate.when = day.when
        for other in _joined(day, words.words, days, lists):
            tied.append(dataclasses.replace(candidate, when=other.when, reasons=list(candidate.reasons)))
    return tied


def _joined(day: Day, words: list[str], days: list[Day], lists: Lists) -> list[Day]:
    """The other days of a list that ``and`` ends: ``on 12 May, 26 May and 9 June``."""
    first = last = days.index(day)
    while first and _listed(days[first - 1], days[first], words, lists):
        first -= 1
    while last + 1 < len(days) and _listed(days[last], days[last + 1], words, lists):
        last += 1
    listed = days[first : last + 1]
    ends_with_and = len(listed) > 1 and words[listed[-1].word - 1] in lists["joins"]
    return [other for other in listed if other is not day] if ends_with_and else []


def _listed(one: Day, other: Day, words: list[str], lists: Lists) -> bool:
    return other.word - one.word == 2 and words[one.word + 1] in (*lists["joins"], ",")


def _day_of(
    candidate: Candidate, note: Words, days: list[Day], others: Collection[Candidate], lists: Lists
) -> Day | None:
    words = note.words
    first, last = candidate.first, candidate.last
    while first and words[first - 1] not in BREAKS:
        first -= 1
    while last < len(words) and words[last] not in BREAKS:
        last += 1
    own = [day for day in days if first <= day.word < last and _reaches(day, candidate, words, others, lists)]
    if not own and words[last] == ",":
        own = [day for day in days if day.word == last + 1 and words[last + 2] in BREAKS]
    if own:
        return min(
            own,
            key=lambda day: (
                _gap(candidate, day.word),
                words[day.word - 1] not in lists["leads_to_a_day"],
                day.word,
            ),
        )
    earlier = [day for day in days if day.word < candidate.first]
    if earlier and _governs(earlier[-1], candidate, note, others, lists):
        return earlier[-1]
    return _closing_day(candidate, note, days, others, lists)


def _closing_day(
    candidate: Candidate, note: Words, days: list[Day], others: Collection[Candidate], lists: Lists
) -> Day | None:
    """The only day of a sentence, at its end, for all that is done in it: ``pushed through, cut and drawn on 2 May.``

    Not if its own clause tells of something else: ``hook removed, released 2 May.``
    """
    if candidate.axis != "procedure" or candidate.status != "present":
        return None
    words = note.words
    first, end = note.sentence(candidate.first)
    inside = [day for day in days if first <= day.word < end]
    if len(inside) != 1 or inside[0].word != end - 1 or not _reaches(inside[0], candidate, words, (), lists):
        return None
    clause = end
    while clause > first and words[clause - 1] != ",":
        clause -= 1
    told = {each.axis for each in others if each.first >= clause and each.last <= end}
    return inside[0] if told <= {"procedure"} else None


def _reaches(
    day: Day, candidate: Candidate, words: list[str], others: Collection[Candidate], lists: Lists
) -> bool:
    """Not across ``until``, nor past another event that ``and`` starts anew: ``eating well and released 2/10``."""
    first, last = sorted((day.word, candidate.first if day.word < candidate.first else candidate.last))
    if not set(lists["up_to_a_day"]).isdisjoint(words[first:last]):
        return False
    for other in others:
        if first <= other.first and other.last <= last and not other.overlaps(candidate):
            between = words[candidate.last : other.first] or words[other.last : candidate.first]
            if len(between) > 1 and not set(lists["parts_events"]).isdisjoint(between):
                return False
    return True


def _governs(
    day: Day, candidate: Candidate, note: Words, others: Collection[Candidate], lists: Lists
) -> bool:
    """Whether a day heads what follows, beyond the end of its sentence.

    Not one that ends its sentence, that stands in it behind other words (``the film on 5 June shows``) or on which
    something is planned. One word before it (``film 5/6: no hook. Passed.``) may stand for what a film shows of
    tackle; what else is done or seen after it has a day of its own.
    """
    words, before = note.words, note.words[day.word - 1]
    if "." not in words[day.word : candidate.first]:
        return True
    may_follow = before in lists["heads_with_a_day"] or candidate.code.startswith(SHOWN)
    if words[day.word + 1] == "." or "." not in (before, words[day.word - 2] if may_follow else before):
        return False
    first, end = note.sentence(day.word)
    told = [each.status for each in others if first <= each.first < end]
    return "uncertain" not in told or "present" in told


def _gap(candidate: Candidate, word: int) -> int:
    return max(candidate.first - word, word - candidate.last + 1, 0)
