"""Denial, doubt, history and plans: how firmly a candidate is said.

The scheme (cue words with a direction and a reach, stopped by ``but`` and by the end of the sentence) is that of Chapman
et al. (2001), J Biomed Inform 34:301-310, and Harkema et al. (2009), J Biomed Inform 42:839-851 (both from memory).
"""

from collections.abc import Callable, Iterable, Sequence

from unsnag.notes.match import Candidate, CueHit
from unsnag.notes.tokens import Words

STRONGEST_FIRST = ("absent", "history", "uncertain")
NEXT_WORD = 1
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
            "sentence": self._within_sentence,
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
                candidate.reasons.append(f"'{said}': {strongest.cue.why}")

    def _reaches(self, hit: CueHit, candidate: Candidate, words: Words, occupied: set[int]) -> bool:
        cue = hit.cue
        if not cue.axes & {candidate.axis, candidate.code}:
            return False
        if cue.sets == "absent" and candidate.rule.denied in UNDENIABLE:
            return False
        if cue.sets == "uncertain" and candidate.rule.doubted in UNDENIABLE:
            return False
        if candidate.first <= hit.first and hit.last <= candidate.last:
            return candidate.is_loose and cue.sets in ("absent", "uncertain") and cue.words > NEXT_WORD
        if cue.where == "before":
            first, last = min(hit.last, candidate.first), candidate.first
            wrong_side = hit.first >= candidate.first
        else:
            first, last = candidate.last, max(hit.first, candidate.last)
            wrong_side = hit.last <= candidate.last
        if wrong_side:
            return False
        between = words.words[first:last]
        if len(between) - between.count(",") > cue.words or not self._stops.isdisjoint(between):
            return False
        return self._crossings[cue.crosses](words, first, last, candidate, occupied)

    def _within_clause(self, words: Words, first: int, last: int, *_) -> bool:
        return "," not in words.words[first:last]

    def _within_sentence(self, *_) -> bool:
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
        around = words.words[first : candidate.last + 3]
        return members and not self._or_words.isdisjoint(around)
