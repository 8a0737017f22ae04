"""Reading one note: the steps in their order."""

import dataclasses
import datetime
import functools
from typing import NamedTuple

from unsnag.notes.dates import When, resolve
from unsnag.notes.events import settle
from unsnag.notes.gate import Gate
from unsnag.notes.links import link_sites
from unsnag.notes.match import Candidate, match_cues, match_rules
from unsnag.notes.mention import Mention
from unsnag.notes.rules import HELPER, Cue, Rules, load_rules
from unsnag.notes.status import UNDENIABLE, StatusReader
from unsnag.notes.timeline import days_of, set_days
from unsnag.notes.tokens import Words, fold, read_words, bare_words

KEPT_WHEN_ABSENT = ("absent", *UNDENIABLE)


class Read(NamedTuple):
    """A mention whose day is still as written: it falls in a year only with a date of admission."""

    mention: Mention
    when: When | None


class Reader:
    """Reads notes by one set of rules; it remembers words between notes, nothing else."""

    def __init__(self, rules: Rules) -> None:
        owned = [(rule, pattern) for rule in rules.rules for pattern in rule.patterns]
        owned += [(cue, pattern) for cue in rules.cues for pattern in cue.patterns]
        self._rules = rules
        self._gate = Gate(owned, rules.lists["common"], rules.mender)
        self._statuses = StatusReader(rules.lists["stop"], rules.lists["or_word"])
        self._abbreviations = frozenset(rules.lists["abbreviation"])

    def read(self, text: str, date_order: str = "dmy") -> list[Read]:
        """What a note says, in the order in which it says it."""
        folded = fold(text)
        entries = self._gate.entries(self._gate.mask(bare_words(folded)))
        if not entries:
            return []
        words = read_words(folded, self._rules.mender, self._abbreviations)
        candidates = self._candidates(words, folded, date_order, entries)
        return [_read(text, words, each) for each in candidates if each.axis != HELPER]

    def _candidates(self, words: Words, folded: str, date_order: str, entries: list) -> list[Candidate]:
        of_rules = [entry for entry in entries if not isinstance(entry.owner, Cue)]
        candidates, blocks = match_rules(words, of_rules)
        if not candidates:
            return []
        hits = match_cues(words, (e for e in entries if isinstance(e.owner, Cue)), candidates + blocks)
        self._statuses.read(words, candidates, hits)
        candidates = link_sites(words, _deny(candidates), self._rules)
        candidates = set_days(words, candidates, days_of(words, folded, date_order, self._rules.lists))
        return settle(words, candidates, hits, self._rules)


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
    start, end = words.starts[candidate.first], words.ends[candidate.last - 1]
    why = "; ".join([candidate.rule.why, *candidate.reasons])
    mention = Mention(
        candidate.axis,
        candidate.code,
        start,
        end,
        text[start:end],
        candidate.status,
        None,
        candidate.result,
        candidate.rule.id,
        why,
    )
    return Read(mention, candidate.when)


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
    admission_date : gives days without a year their year, and day counts their day; without it those have no date
    rules          : by default the shipped ones
    date_order     : dmy or mdy, the clinic's habit
    """
    reads = reader(rules or load_rules()).read(text, date_order)
    return [with_day(each, admission_date) for each in reads]


def with_day(read: Read, admission_date: datetime.date | None) -> Mention:
    """The mention with its calendar day."""
    if read.when is None:
        return read.mention
    return dataclasses.replace(read.mention, date=resolve(read.when, admission_date))
