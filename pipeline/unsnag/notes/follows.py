"""What facts mean together that no word says: a loop that cuts in is round the animal, what passed was swallowed."""

import dataclasses
from collections.abc import Iterable, Sequence

from unsnag.notes.links import SEEN_INSIDE
from unsnag.notes.match import Candidate
from unsnag.notes.rules import Rule, Rules
from unsnag.notes.tokens import Words

CAUSES = {
    "constricting", "gear_passed", "gear_not_seen", "gastric_lavage", "external_wound", "radiograph", "yes",
}  # fmt: skip
FILM_FINDINGS = SEEN_INSIDE | {"gear_not_seen"}
CAUGHT = {"hooked_shallow", "hook_stuck", "hook_lodged"}
TAKEN_OFF = {"disentangling"}  # the attempt that takes nothing out of the animal


def _following(rule_id: str, axis: str, code: str, why: str) -> Rule:
    return Rule(rule_id, axis, code, why, denied="nothing")


ENTANGLED = _following("cuts_in", "injury", "entangled", "what cuts in is round the animal")
INGESTED = _following("was_passed", "injury", "ingested", "what was passed or flushed out had been swallowed")
HANGS_BELOW = _following("hangs_below", "injury", "ingested", "line out of the vent was swallowed")
UNHURT = _following("no_wound_at_all", "injury", "none_found", "no wound, and no other injury is told of")
PASSED = _following("gone_unaided", "finding", "gear_passed", "seen there before and gone, and not taken out")
CLEAR = _following("film_without", "finding", "gear_not_seen", "the film shows none of it")


def what_follows(words: Words, candidates: list[Candidate], rules: Rules) -> list[Candidate]:
    """The candidates with those that follow from them, without findings on films that are still to be taken."""
    candidates = [each for each in candidates if not _said_of_a_swallowed_one(each, candidates, words, rules)]
    if CAUSES.isdisjoint([each.code for each in candidates]):
        return candidates
    taken = [each for each in candidates if not _on_no_film(each, candidates)]
    taken = [_unhurt(each, taken) or each for each in taken]
    return taken + [
        made
        for each in taken
        for made in (
            _wrapped(each),
            _swallowed(each, taken, words, rules),
            _hangs_below(each, taken, words),
            _clear(each, taken, words),
            _gone_unaided(each, taken, words, rules),
        )
        if made
    ]


def doubt_what_is_seen(candidates: Sequence[Candidate]) -> None:
    """A film shows no more than what may be gear: ``metal in the gizzard``, ``?sinker on the film``."""
    for finding in candidates:
        if finding.code == "gear_in_place" and finding.status == "present":
            seen = [each.status for each in candidates if each.axis == "gear" and each.overlaps(finding)]
            if seen and set(seen) == {"uncertain"}:
                finding.status = "uncertain"


def _from(rule: Rule, source: Candidate) -> Candidate:
    said = list(source.reasons)
    return Candidate(rule, source.first, source.last, rule.axis, rule.code, source.status, said)


def _said_of_a_swallowed_one(
    hooked: Candidate, candidates: Sequence[Candidate], words: Words, rules: Rules
) -> bool:
    """``hooked``, ``hook embedded`` without a place on the outside, of an animal that has swallowed its hook."""
    if hooked.code != "embedded" or hooked.rule.id not in CAUGHT:
        return False
    first, last = words.sentence(hooked.first)
    outside = any(
        each.axis == "body_site" and each.code not in rules.deep_sites and first <= each.first < last
        for each in candidates
    )
    return not outside and any(each.code == "ingested" and each.status == "present" for each in candidates)


def _unhurt(denial: Candidate, candidates: Iterable[Candidate]) -> Candidate | None:
    """``No wounds`` of an animal of which no other injury is told says that none was found, and no more."""
    is_denied = denial.code == "external_wound" and denial.rule.denied == "itself"
    if not is_denied or any(each.axis == "injury" and each.status != "absent" for each in candidates):
        return None
    return dataclasses.replace(_from(UNHURT, denial), status="present")


def _on_no_film(finding: Candidate, candidates: Iterable[Candidate]) -> bool:
    return finding.code in FILM_FINDINGS and any(
        each.code == "radiograph" and each.status in ("uncertain", "absent") and each.overlaps(finding)
        for each in candidates
    )


def _wrapped(cause: Candidate) -> Candidate | None:
    is_cause = cause.code == "constricting" and cause.status != "absent"
    return _from(ENTANGLED, cause) if is_cause else None


def _swallowed(
    cause: Candidate, candidates: Sequence[Candidate], words: Words, rules: Rules
) -> Candidate | None:
    """A hook that fell out of the skin by itself had not been swallowed, nor has a stomach been flushed of food."""
    is_cause = cause.code in ("gear_passed", "gastric_lavage") and cause.status == "present"
    if is_cause and cause.code == "gastric_lavage":
        is_cause = any(each.axis == "gear" and each.status == "present" for each in candidates)
    is_cause = is_cause and set(rules.lists["dropped"]).isdisjoint(words.words[cause.first : cause.last])
    return (
        _from(INGESTED, cause) if is_cause and all(each.code != "embedded" for each in candidates) else None
    )


def _hangs_below(cause: Candidate, candidates: Iterable[Candidate], words: Words) -> Candidate | None:
    """Line that hangs out of the vent."""
    is_cause = cause.axis == "line_trailing" and cause.code == "yes" and cause.status == "present"
    if not is_cause:
        return None
    first, last = words.sentence(cause.first)
    below = any(each.code == "cloaca" and first <= each.first < last for each in candidates)
    return _from(HANGS_BELOW, cause) if below else None


def _clear(cause: Candidate, candidates: Sequence[Candidate], words: Words) -> Candidate | None:
    """``no evidence of tackle on radiographic examination``: gear is denied and a film told of in one clause."""
    if cause.axis != "gear" or cause.status != "absent":
        return None
    for film in candidates:
        if film.code == "radiograph" and film.status == "present":
            first, last = sorted((cause, film), key=lambda each: each.first)
            if {".", ","}.isdisjoint(words.words[first.last : last.first]):
                return _from(CLEAR, film)
    return None


def _gone_unaided(
    gone: Candidate, candidates: Sequence[Candidate], words: Words, rules: Rules
) -> Candidate | None:
    """``9/1 hook in gizzard. 15/1 xr: gone.`` What was there and has gone left by itself, unless it was taken out."""
    is_cause = gone.code == "gear_not_seen" and gone.status == "present"
    if not is_cause or set(rules.lists["gone"]).isdisjoint(words.words[gone.first : gone.last + 1]):
        return None
    before = {each.code for each in candidates if each.first < gone.first and each.status == "present"}
    is_taken_out = not before.isdisjoint(rules.attempts - TAKEN_OFF)
    is_told = any(each.code == "gear_passed" for each in candidates)
    return None if is_taken_out or is_told or before.isdisjoint(SEEN_INSIDE) else _from(PASSED, gone)
