"""Reading one note: the steps in their order."""

import dataclasses
import datetime
import functools
from collections.abc import Iterable
from typing import NamedTuple

from unsnag.notes.bits import WordBits
from unsnag.notes.dates import When, resolve
from unsnag.notes.events import settle
from unsnag.notes.follows import doubt_what_is_seen, what_follows
from unsnag.notes.gate import Entry, Gate
from unsnag.notes.links import link_sites
from unsnag.notes.match import Candidate, Line, match_cues, match_rules, sift
from unsnag.notes.mention import Mention
from unsnag.notes.rules import BLOCK, HELPER, Rules, load_rules
from unsnag.notes.short_days import slashed
from unsnag.notes.shorthand import Shorthand
from unsnag.notes.status import UNDENIABLE, StatusReader
from unsnag.notes.timeline import Day, days_of, set_days
from unsnag.notes.tokens import Tokeniser, Words, bare_words, fold
from unsnag.notes.values import is_low_lead, value_near

LEVEL = "lead_level"
LESION = "lesion"
HELPERS = {LESION, "hook"}
ENDING = "outcome"
KEPT_WHEN_ABSENT = ("absent", *UNDENIABLE)


class Read(NamedTuple):
    """A mention whose day is still as written: it falls in a year only with a date of admission."""

    mention: Mention
    when: When | None


class Ignored(NamedTuple):
    """Words [start, end) that look like something and are not, by a rule that blocks."""

    start: int
    end: int
    rule: str
    why: str


class Reader:
    """Reads notes by one set of rules; it remembers words between notes, nothing else."""

    def __init__(self, rules: Rules) -> None:
        self._rules = rules
        self._bits = WordBits(rules.mender)
        gate = functools.partial(
            Gate, bits=self._bits, common=rules.lists["common"], frequent=rules.lists["frequent"]
        )
        self._saying = gate(rule for rule in rules.rules if rule.axis != BLOCK)
        self._blocking = gate(rule for rule in rules.rules if rule.axis == BLOCK)
        self._cues = gate(rules.cues)
        self._bits.settle()
        self._statuses = StatusReader(rules.lists["stop"], rules.lists["or_word"])
        self._tokeniser = Tokeniser(
            rules.mender, frozenset(rules.lists["abbreviation"]), frozenset(rules.lists["title"])
        )

    def read(self, text: str, date_order: str = "dmy", shorthand: Shorthand | None = None) -> list[Read]:
        """What a note says, in the order in which it says it."""
        if shorthand is None:
            return self._read(text, date_order)
        written = shorthand.write_out(text)
        return [
            each._replace(
                mention=_as_written(each.mention, text, *written.back(each.mention.start, each.mention.end))
            )
            for each in self._read(written.text, date_order)
        ]

    def _read(self, text: str, date_order: str) -> list[Read]:
        folded = fold(text)
        mask = self._bits.mask(bare_words(folded))
        entries = self._saying.entries(mask)
        if not _say_anything(entries):
            return []
        folded = slashed(folded, date_order, self._rules.lists)
        words = self._tokeniser.read(folded, text)
        line = Line(words, self._bits.starts(words.words))
        found = match_rules(line, entries)
        if not found:
            return []
        days = days_of(words, folded, date_order, self._rules.lists)
        settled = self._settle(line, mask, found, days)
        return _weigh_lead(text, [_read(text, words, each) for each in settled if each.axis != HELPER])

    def knows(self, word: str) -> bool:
        """Whether some rule or cue asks for a folded word."""
        return bool(self._bits.mask((word,)))

    def ignored(self, text: str, shorthand: Shorthand | None = None) -> list[Ignored]:
        """The look-alikes of a note, in its order."""
        if shorthand is not None:
            written = shorthand.write_out(text)
            found = self.ignored(written.text)
            return [Ignored(*written.back(each.start, each.end), each.rule, each.why) for each in found]
        folded = fold(text)
        words = self._tokeniser.read(folded, text)
        line = Line(words, self._bits.starts(words.words))
        blocks = match_rules(line, self._blocking.entries(self._bits.mask(bare_words(folded))))
        found = {
            Ignored(*words.stands(each.first, each.last), each.rule.id, each.rule.why) for each in blocks
        }
        return sorted(found)

    def _settle(self, line: Line, mask: int, found: list[Candidate], days: list[Day]) -> list[Candidate]:
        """What is left of the matches when all that stands around them is weighed."""
        words = line.words
        blocks = match_rules(line, self._blocking.entries(mask))
        candidates = sift(found, blocks, words)
        if not candidates:
            return []
        hits = match_cues(line, self._cues.entries(mask), candidates + blocks)
        self._statuses.read(words, candidates, hits)
        doubt_what_is_seen(candidates)
        candidates = link_sites(words, _deny(candidates), self._rules)
        candidates = what_follows(words, candidates, self._rules)
        candidates = set_days(words, candidates, days, self._rules.lists)
        return settle(words, candidates, hits, self._rules)


def _as_written(mention: Mention, text: str, start: int, end: int) -> Mention:
    return dataclasses.replace(mention, start=start, end=end, text=text[start:end])


def _say_anything(entries: Iterable[Entry]) -> bool:
    """Whether some pattern may report: a part of the body only does beside tackle, a wound or a lesion."""
    said = {entry.owner.code if entry.owner.axis == HELPER else entry.owner.axis for entry in entries}
    return said >= {LESION, "body_site"} or not said <= HELPERS | {"body_site"}


def _deny(candidates: list[Candidate]) -> list[Candidate]:
    """What a denial or a doubt makes of each rule: nothing at all, or another code."""
    kept = []
    for candidate in candidates:
        if candidate.status == "uncertain" and candidate.rule.doubted == "nothing":
            continue
        denied = candidate.rule.denied
        if candidate.status == "absent" and denied not in KEPT_WHEN_ABSENT:
            if denied == "nothing":
                continue
            candidate.code, candidate.status = denied, "present"
        kept.append(candidate)
    return kept


def _read(text: str, words: Words, candidate: Candidate) -> Read:
    start, end = words.stands(candidate.first, candidate.last)
    why = "; ".join([candidate.rule.why, *candidate.reasons])
    mention = Mention(
        candidate.axis,
        candidate.code,
        start,
        end,
        text[start:end],
        candidate.status,
        None,
        value_near(text, start, end) if candidate.code == LEVEL else candidate.result,
        candidate.rule.id,
        why,
    )
    return Read(mention, candidate.when)


def _weigh_lead(text: str, reads: list[Read]) -> list[Read]:
    """A level within background says no lead, unless the note tells of lead otherwise."""
    yes = [each for each in reads if each.mention.axis == "lead" and each.mention.code == "yes"]
    low = [each for each in yes if is_low_lead(_level_in(text, each.mention))]
    if not low:
        return reads
    denied = [] if len(low) < len(yes) else low[:1]
    return [
        Read(dataclasses.replace(each.mention, code="no"), each.when) if each in denied else each
        for each in reads
        if each not in low or each in denied
    ]


def _level_in(text: str, mention: Mention) -> str | None:
    """The level in the words of a mention of lead, with the unit behind them, if they hold a number."""
    has_number = any(map(str.isdigit, mention.text))
    return value_near(text, mention.start, mention.end) if has_number else None


@functools.cache
def reader(rules: Rules) -> Reader:
    """The reader of a set of rules, made once."""
    return Reader(rules)


def understand(
    text: str,
    admission_date: datetime.date | None = None,
    rules: Rules | None = None,
    date_order: str = "dmy",
) -> list[Mention]:
    """What a note says, in the order in which it says it.

    text           : the note as the clinic wrote it
    admission_date : gives days without a year their year, and day counts their day; without it those have no
                     date
    rules          : by default the shipped ones
    date_order     : dmy or mdy, the clinic's habit
    """
    reads = reader(rules or load_rules()).read(text, date_order)
    return [with_day(each, admission_date) for each in reads]


def with_day(read: Read, admission_date: datetime.date | None) -> Mention:
    """The mention with its calendar day."""
    if read.when is None:
        return read.mention
    said, day = read.mention, resolve(read.when, admission_date)
    return dataclasses.replace(said, date=day, status=status_on(said.axis, said.status, day, admission_date))


def status_on(axis: str, status: str, day: datetime.date | None, admission_date: datetime.date | None) -> str:
    """The status of what a note says of a day: an ending before the stay is that of an earlier one."""
    is_before = day is not None and admission_date is not None and day < admission_date
    return "history" if is_before and status == "present" and axis == ENDING else status
