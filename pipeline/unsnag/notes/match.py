"""Rules on words: what could be meant, before denials, doubts and dates are weighed."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from unsnag.notes.dates import When
from unsnag.notes.gate import Entry
from unsnag.notes.patterns import Pattern
from unsnag.notes.rules import BLOCK, STATUSES, Cue, Rule
from unsnag.notes.tokens import Words

SAME_AGAIN = ("net",)


@dataclass(slots=True)
class Candidate:
    """A rule that matched the words [first, last), on its way to become a mention.

    is_loose : other words may stand between those of the rule
    """

    rule: Rule
    first: int
    last: int
    axis: str
    code: str
    status: str = "present"
    reasons: list[str] = field(default_factory=list)
    when: When | None = None
    result: str | None = None
    is_loose: bool = False

    def overlaps(self, other: "Candidate") -> bool:
        return self.first < other.last and other.first < self.last


@dataclass(frozen=True, slots=True)
class CueHit:
    """A cue that matched the words [first, last)."""

    cue: Cue
    first: int
    last: int


class Line:
    """The line of a note and where the words stand with which patterns open: nothing is tried elsewhere."""

    def __init__(self, words: Words, starts: Mapping[int, list[int]]) -> None:
        self.words = words
        self._starts = starts

    def matches(self, entry: Entry) -> Iterator[tuple[int, int]]:
        """The words [first, after last) of every match of a pattern."""
        line, places = self.words.line, self.words.places
        skips, regex = entry.pattern.skips, entry.pattern.regex
        for word in self._starts.get(entry.opening, ()) if entry.opening else range(len(places)):
            first = word - skips
            match = regex.match(line, places[first]) if first >= 0 else None
            if match:
                yield self.words.span(first, match)


def match_rules(line: Line, entries: Iterable[Entry]) -> list[Candidate]:
    """Every match of a rule, whatever stands around it."""
    return [
        Candidate(
            rule,
            first,
            last,
            rule.axis,
            rule.code,
            rule.status,
            result=rule.result or None,
            is_loose=entry.pattern.is_loose,
        )
        for entry in entries
        for rule in (entry.owner,)
        for first, last in line.matches(entry)
    ]


def sift(candidates: Iterable[Candidate], blocks: Sequence[Candidate], words: Words) -> list[Candidate]:
    """Those that no look-alike blocks, whose needs are met, and of overlapping ones the longest."""
    if blocks:
        candidates = _unblocked(list(candidates), blocks)
    return _longest([each for each in candidates if _needs_met(each, words)])


def _unblocked(candidates: list[Candidate], blocks: Sequence[Candidate]) -> list[Candidate]:
    """Those that no look-alike blocks; ``the net`` after a garden's net is that same net."""
    blocked = [each for each in candidates if _blocked(each, blocks)]
    first = {each.rule.id: each.first for each in reversed(blocked) if each.code in SAME_AGAIN}
    return [
        each
        for each in candidates
        if not any(each is other for other in blocked)
        and not each.first > first.get(each.rule.id, each.first)
    ]


def _blocked(candidate: Candidate, blocks: Iterable[Candidate]) -> bool:
    return any(
        block.overlaps(candidate) and not block.rule.blocks.isdisjoint((candidate.axis, candidate.code))
        for block in blocks
    )


def _needs_met(candidate: Candidate, words: Words) -> bool:
    """Whether what the rule needs beside itself stands in the sentence (or anywhere in the note)."""
    rule = candidate.rule
    if not rule.needs:
        return True
    if rule.needs_in_note:
        return _any_match(rule.needs, words.line)
    first, last = words.sentence(candidate.first)
    around = words.part(first, candidate.first), words.part(candidate.last, last)
    return any(_any_match(rule.needs, part) for part in around)


def _any_match(patterns: Sequence[Pattern], line: str) -> bool:
    return any(pattern.regex.search(line) for pattern in patterns)


def _longest(candidates: list[Candidate]) -> list[Candidate]:
    """Of candidates for one code (or one part of the body) on the same words the longest, in order."""
    kept: list[Candidate] = []
    for candidate in sorted(candidates, key=lambda each: (each.first - each.last, each.first)):
        if not any(candidate.overlaps(other) and _speaks_for(other, candidate) for other in kept):
            kept.append(candidate)
    return sorted(kept, key=lambda each: (each.first, each.last, each.axis, each.code))


def _speaks_for(longer: Candidate, shorter: Candidate) -> bool:
    return longer.axis == shorter.axis and (longer.axis == "body_site" or longer.code == shorter.code)


def match_cues(line: Line, entries: Iterable[Entry], taken: Iterable[Candidate]) -> list[CueHit]:
    """Cues whose words are not already part of what a look-alike or an undeniable rule says."""
    hits = [CueHit(entry.owner, first, last) for entry in entries for first, last in line.matches(entry)]
    taken = list(taken)
    return [hit for hit in hits if not any(_swallows(each, hit) for each in taken)]


def _swallows(candidate: Candidate, hit: CueHit) -> bool:
    """``no longer`` denies nothing, ``old band`` is no history; ``not moved`` denies nothing else."""
    if not (candidate.first <= hit.first and hit.last <= candidate.last):
        return False
    if candidate.axis == BLOCK:
        return "cue" in candidate.rule.blocks and hit.cue.sets in STATUSES
    return candidate.rule.denied == "itself" and hit.cue.sets == "absent"
