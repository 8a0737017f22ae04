"""Denial, doubt, history and plans: how firmly a candidate is said.

The scheme (cue words with a direction and a reach, stopped by ``but`` and by the end of the sentence) is that
of Chapman et al. (2001), J Biomed Inform 34:301-310, and Harkema et al. (2009), J Biomed Inform 42:839-851
(both from memory).

A doubt that the rest of the note settles is no doubt (``?hook. XR clear.``), nor is what somebody else told and nobody
found (``caller says hook in foot. Caught, no hook.``). Cues that cross ``told`` mark what others told and change
nothing; those that cross ``doubt`` deny what is doubted or told before them, however far, or say that it stays open.
"""

from collections.abc import Callable, Iterable, Sequence

from unsnag.notes.match import Candidate, CueHit
from unsnag.notes.rules import Cue
from unsnag.notes.tokens import Words

STRONGEST_FIRST = ("absent", "history", "uncertain")
NEXT_WORD = 1
LIST_GOES_ON = 3
UNDENIABLE = ("ignore", "itself")
TOLD, DOUBT = "told", "doubt"
AFFIRMED = {
    "gear_in_place", "gear_unmoved", "gear_moved", "gear_passed", "manual_removal", "endoscopic_retrieval",
    "barb_cut_and_backed_out", "pushed_through", "gastric_lavage", "surgery_oesophagotomy", "surgery_coeliotomy",
    "surgery_other",
}  # fmt: skip
FILMED = {"hook", "lure", "sinker", "swivel_or_leader", "unspecified_tackle", "ingested"}


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
            TOLD: self._anywhere,
        }

    def read(self, words: Words, candidates: Sequence[Candidate], hits: Iterable[CueHit]) -> None:
        """Give every candidate its status; ``reasons`` says which word it rests on."""
        occupied = {word for each in candidates for word in range(each.first, each.last)}
        hits = [hit for hit in hits if hit.cue.sets in STRONGEST_FIRST]
        told = [hit for hit in hits if hit.cue.crosses == TOLD]
        settling = [hit for hit in hits if hit.cue.crosses == DOUBT]
        hits = [hit for hit in hits if hit.cue.crosses not in (TOLD, DOUBT)]
        in_doubt = []
        for candidate in candidates:
            reaching = [hit for hit in hits if self._reaches(hit, candidate, words, occupied)]
            if reaching:
                strongest = min(reaching, key=lambda hit: STRONGEST_FIRST.index(hit.cue.sets))
                _set(candidate, strongest, words)
            teller = next((hit for hit in told if self._reaches(hit, candidate, words, occupied)), None)
            if candidate.status == "uncertain" or (teller and candidate.status == "present"):
                in_doubt.append((candidate, teller))
        if in_doubt:
            _settle(words, candidates, in_doubt, settling)

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


def _set(candidate: Candidate, hit: CueHit, words: Words) -> None:
    candidate.status = hit.cue.sets
    candidate.reasons.append(_reason(hit, words))


def _reason(hit: CueHit, words: Words) -> str:
    return f"'{words.said(hit.first, hit.last)}': {hit.cue.why} ({hit.cue.id})"


def _settle(
    words: Words,
    candidates: Sequence[Candidate],
    in_doubt: Iterable[tuple[Candidate, CueHit | None]],
    settling: Sequence[CueHit],
) -> None:
    """Deny what is doubted or told and not borne out, unless it was seen inside or taken out before that."""
    films = [each for each in candidates if each.code == "radiograph" and each.status == "present"]
    clear = [each for each in candidates if each.code == "gear_not_seen" and _on_a_film(each, films, words)]
    for candidate, teller in in_doubt:
        concerning = [hit for hit in settling if candidate.last < hit.last and _concerns(hit.cue, candidate)]
        refuting: list[Candidate | CueHit] = [hit for hit in concerning if hit.cue.sets == "absent"]
        refuting += [each for each in clear if candidate.last < each.last and candidate.code in FILMED]
        refuting += [each for each in candidates if _denies(each, candidate)]
        hit = _before_it_was_seen(refuting, candidate, candidates)
        if hit is None:
            continue
        if teller:
            candidate.reasons.append(_reason(teller, words))
        hit = next((hit for hit in concerning if hit.cue.sets == "uncertain"), hit)
        if isinstance(hit, CueHit):
            _set(candidate, hit, words)
        else:
            candidate.status = "absent"
            candidate.reasons.append(f"'{words.said(hit.first, hit.last)}' does not bear it out")


def _before_it_was_seen(
    refuting: Iterable[Candidate | CueHit], candidate: Candidate, candidates: Sequence[Candidate]
) -> Candidate | CueHit | None:
    """The first of what refutes a candidate, if the tackle had not been seen or taken out by then."""
    first = min(refuting, key=_start, default=None)
    seen = [each.first for each in candidates if _affirms(each, candidates, candidate)]
    return first if first and all(first.first <= place for place in seen) else None


def _start(hit: Candidate | CueHit) -> int:
    return hit.first


def _on_a_film(finding: Candidate, films: Iterable[Candidate], words: Words) -> bool:
    first, last = words.sentence(finding.first)
    return finding.status == "present" and any(
        finding.overlaps(film) or first <= film.first < last for film in films
    )


def _denies(other: Candidate, candidate: Candidate) -> bool:
    """A later denial in a rule's own words, or lead of which the note says that it is none."""
    if candidate.axis == other.axis == "lead":
        return other.code == "no"
    is_denial = other.status == "absent" and other.rule.denied == "itself"
    return is_denial and other.code == candidate.code and candidate.last <= other.first


def _affirms(other: Candidate, candidates: Sequence[Candidate], candidate: Candidate) -> bool:
    """Tackle taken out, by whomever, or seen inside, if what is seen is not another kind of tackle."""
    if other.code not in AFFIRMED or other.status not in ("present", "history"):
        return False
    named = {
        each.code for each in candidates if each.axis == candidate.axis == "gear" and each.overlaps(other)
    }
    return not named or candidate.code in named


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
