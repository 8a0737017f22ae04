"""Denial, doubt, history and plans: how firmly a candidate is said.

The scheme (cue words with a direction and a reach, stopped by ``but`` and by the end of the sentence) is that
of Chapman et al. (2001), J Biomed Inform 34:301-310, and Harkema et al. (2009), J Biomed Inform 42:839-851
(both from memory).
"""

from collections.abc import Callable, Iterable, Sequence

from unsnag.notes.match import Candidate, CueHit
from unsnag.notes.rules import Cue
from unsnag.notes.tokens import Words

STRONGEST_FIRST = ("absent", "history", "uncertain")
NEXT_WORD = 1
LIST_GOES_ON = 3
UNDENIABLE = ("ignore", "itself")


class StatusReader:
    """Sets the status of candidates from the cues around them.

    stops    : words that no cue reaches across
    or_words : words that join an enumeration
    """

    def __init__(self, stops: Iterable[str], or_words: Iterable[str]) -> None:
        self._stops = frozenset(stops) | {"."}
        self._or_words = frozenset(or_words)
        self._crossings: dict[str, Callable] = {
            "clause": self._within_clause,
            "list": self._within_list,
            "sentence": self._anywhere,
            "note": self._anywhere,
        }

    def read(self, words: Words, candidates: Sequence[Candidate], hits: Iterable[CueHit]) -> None:
        """Give every candidate its status; ``reasons`` says which word it rests on."""
        occupied = {word for each in candidates for word in range(each.first, each.last)}
        hits = [hit for hit in hits if hit.cue.sets in STRONGEST_FIRST]
        for candidate in candidates:
            reaching = [hit for hit in hits if self._reaches(hit, candidate, words, occupied)]
            if reaching:
                strongest = min(reaching, key=lambda hit: STRONGEST_FIRST.index(hit.cue.sets))
                candidate.status = strongest.cue.sets
                said = words.said(strongest.first, strongest.last)
                candidate.reasons.append(f"'{said}': {strongest.cue.why} ({strongest.cue.id})")

    def _reaches(self, hit: CueHit, candidate: Candidate, words: Words, occupied: set[int]) -> bool:
        if not _concerns(hit.cue, candidate):
            return False
        if candidate.first <= hit.first and hit.last <= candidate.last:
            return (
                candidate.is_loose and hit.cue.sets in ("absent", "uncertain") and hit.cue.words > NEXT_WORD
            )
        between = _between(hit, candidate)
        if between is None:
            return False
        said = words.words[slice(*between)]
        is_stopped = hit.cue.crosses != "note" and not self._stops.isdisjoint(said)
        if is_stopped or len(said) - said.count(",") > hit.cue.words:
            return False
        return self._crossings[hit.cue.crosses](words, *between, candidate, occupied)

    def _within_clause(self, words: Words, first: int, last: int, *_) -> bool:
        return "," not in words.words[first:last]

    def _anywhere(self, *_) -> bool:
        return True

    def _within_list(
        self, words: Words, first: int, last: int, candidate: Candidate, occupied: set[int]
    ) -> bool:
        """No break, or only breaks between the members of an enumeration that an ``or`` ends."""
        between = words.words[first:last]
        if "," not in between:
            return True
        members = all(
            word in occupied or words.words[word] in self._or_words or words.words[word] == ","
            for word in range(first + between.index(","), last)
        )
        around = words.words[first : candidate.last + LIST_GOES_ON]
        return members and not self._or_words.isdisjoint(around)


def _concerns(cue: Cue, candidate: Candidate) -> bool:
    """Whether a cue speaks of what the candidate is about, and the candidate can be denied or doubted."""
    if not cue.axes & {candidate.axis, candidate.code}:
        return False
    rule = candidate.rule
    immune = {"absent": rule.denied, "uncertain": rule.doubted}.get(cue.sets)
    return immune not in UNDENIABLE


def _between(hit: CueHit, candidate: Candidate) -> tuple[int, int] | None:
    """The words [first, after last) between a cue and a candidate; None if the cue is on the wrong side."""
    if hit.cue.where == "before":
        return (min(hit.last, candidate.first), candidate.first) if hit.first < candidate.first else None
    return (candidate.last, max(hit.first, candidate.last)) if hit.last > candidate.last else None
