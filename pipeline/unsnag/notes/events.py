"""What candidates mean together: the more telling of two, movement between films, results of attempts."""

from collections.abc import Iterable, Sequence

from unsnag.notes.match import Candidate, CueHit
from unsnag.notes.rules import RESULTS, Rules
from unsnag.notes.tokens import BREAKS, Words

NEIGHBOURING = 1
BAD_NEWS = ("failed", "abandoned")
DONE = ("present",)
TOLD = (*DONE, "history")
PLANNED = ("procedure", "outcome")
AGAIN = "tried_again"  # the rule that names no method
WORST_FIRST = ("abandoned", "partial", "failed", "success")
DOWNWARDS = ("mouth", "throat_glottis", "oesophagus", "crop", "stomach", "gizzard", "intestine", "cloaca")


def settle(
    words: Words, candidates: list[Candidate], hits: Iterable[CueHit], rules: Rules
) -> list[Candidate]:
    """The candidates that stay, with their results."""
    sentences = _sentence_numbers(words)
    _see_movement(candidates, sentences)
    candidates = _without_plans_carried_out(_same_method(candidates, sentences, rules))
    _set_results(words, candidates, [hit for hit in hits if hit.cue.sets in RESULTS], rules)
    return [each for each in candidates if not _says_less(words, each, candidates, sentences, rules)]


def _sentence_numbers(words: Words) -> list[int]:
    numbers, number = [], 0
    for word in words.words:
        number += word == "."
        numbers.append(number)
    return numbers


def _same_event(one: Candidate, other: Candidate, sentences: list[int]) -> bool:
    """On one stated day; without one in neighbouring sentences. Injuries share a sentence."""
    first, second = sorted((one, other), key=lambda each: each.first)
    apart = sentences[second.first] - sentences[first.first]
    if one.axis == "injury":
        return apart == 0
    if one.when == other.when:
        return one.when is not None or apart <= NEIGHBOURING
    if apart == 0 and None in (one.when, other.when):
        return True
    return second.when is None and apart <= NEIGHBOURING


def _says_less(
    words: Words, candidate: Candidate, candidates: Sequence[Candidate], sentences: list[int], rules: Rules
) -> bool:
    """Whether another candidate of the same event says more; that one then takes over the result."""
    if candidate.code != candidate.rule.code:
        return False
    more = [
        other
        for other in candidates
        if other.axis == candidate.axis
        and other.code in candidate.rule.yields_to
        and other.status in ("present", candidate.status)
        and other is not candidate
        and not _next_attempt(candidate, other)
        and not _another_piece(words, candidate, other, rules)
        and _same_event(candidate, other, sentences)
    ]
    for other in more:
        if other.code in rules.attempts:
            other.result = other.result or candidate.result
    return bool(more)


def _next_attempt(one: Candidate, other: Candidate) -> bool:
    """By hand in vain, then with success by scope or knife: two attempts."""
    return one.result in BAD_NEWS and other.result == "success" and one.last <= other.first


def _another_piece(words: Words, one: Candidate, other: Candidate, rules: Rules) -> bool:
    """``First two out by hand, the other needed a cut down``: each hook came out in its own way."""
    if one.result not in ("success", "partial") or one.last > other.first:
        return False
    first, _ = words.sentence(one.first)
    said, between = words.words[first : one.last], words.words[one.last : other.last]
    return not set(said).isdisjoint(rules.lists["one_of_them"]) and not set(between).isdisjoint(
        rules.lists["the_other"]
    )


def _same_method(candidates: list[Candidate], sentences: list[int], rules: Rules) -> list[Candidate]:
    """``Tried again 7/8`` is an attempt of the kind told before it; beside a named one it adds nothing."""
    named = [each for each in candidates if each.code in rules.attempts and each.rule.id != AGAIN]
    kept = []
    for each in candidates:
        if each.rule.id == AGAIN:
            before = [other for other in named if other.first < each.first]
            if not before or any(_names_method(other, each, before[-1], sentences) for other in named):
                continue
            each.code = before[-1].code
            each.reasons.append("an attempt of the kind told before")
        kept.append(each)
    return kept


def _names_method(other: Candidate, again: Candidate, before: Candidate, sentences: list[int]) -> bool:
    """Whether the sentence itself says how it was tried: not by ``out`` alone, which the way told before explains."""
    return sentences[other.first] == sentences[again.first] and before.code not in other.rule.yields_to


def _without_plans_carried_out(candidates: list[Candidate]) -> list[Candidate]:
    """``Scope tomorrow. 4/10 scoped, hook out``: what was planned and is done later is told once, as done."""
    done = [each for each in candidates if each.axis in PLANNED and each.status in DONE]
    return [
        each
        for each in candidates
        if each.axis not in PLANNED
        or each.status != "uncertain"
        or not any(_carries_out(each, other) for other in done)
    ]


def _carries_out(plan: Candidate, act: Candidate) -> bool:
    is_same = act.code == plan.code or act.code in plan.rule.yields_to
    return is_same and plan.last <= act.first and plan.when in (None, act.when)


def _see_movement(candidates: Sequence[Candidate], sentences: list[int]) -> None:
    """Gear seen farther down on a later day has moved."""
    seen: list[tuple] = []
    for candidate in candidates:
        if candidate.code != "gear_in_place" or candidate.when is None or candidate.status != "present":
            continue
        depths = [
            DOWNWARDS.index(each.code)
            for each in candidates
            if each.axis == "body_site"
            and each.code in DOWNWARDS
            and sentences[each.first] == sentences[candidate.first]
        ]
        if not depths:
            continue
        before = [depth for when, depth in seen if when != candidate.when]
        if before and max(depths) > before[-1]:
            candidate.code = "gear_moved"
            candidate.reasons.append("farther down than on the film before")
        seen.append((candidate.when, max(depths)))


def _set_results(words: Words, candidates: Sequence[Candidate], hits: list[CueHit], rules: Rules) -> None:
    """The worst that is said of an attempt; without a word of it, what the rule itself says."""
    attempts = [each for each in candidates if each.axis == "procedure" and each.code in rules.attempts]
    for attempt in attempts:
        if attempt.status not in TOLD:
            attempt.result = None
            continue
        near = [hit for hit in hits if _tells_of(hit, attempt, attempts, words)]
        if near:
            worst = min(near, key=lambda hit: WORST_FIRST.index(hit.cue.sets))
            attempt.result = worst.cue.sets
            said = words.said(worst.first, worst.last)
            attempt.reasons.append(f"'{said}': {worst.cue.why} ({worst.cue.id})")


def _tells_of(hit: CueHit, attempt: Candidate, attempts: Iterable[Candidate], words: Words) -> bool:
    """Whether a cue stands in reach of an attempt, before the next one and, if good news, in its sentence."""
    if hit.cue.where == "before":
        return _tells_beforehand(hit, attempt, words)
    if hit.first < attempt.first or hit.first - attempt.last > hit.cue.words:
        return False
    between = words.words[attempt.last : hit.first]
    is_bad = hit.cue.sets in BAD_NEWS
    others = (each for each in attempts if attempt.last <= each.first <= hit.first)
    if not all(is_bad and _tells_less(each, attempt) for each in others) or _next_entry(between):
        return False
    # What says by itself that it came off is not undone by what fails in the sentence that follows.
    goes_on = hit.cue.crosses == "note" or (is_bad and attempt.rule.result != "success")
    return between.count(".") <= goes_on


def _tells_less(one: Candidate, other: Candidate) -> bool:
    """``scope, barb won't let go``: in other words the same attempt, and no news of a next one."""
    return other.code in one.rule.yields_to and one.result in BAD_NEWS


def _tells_beforehand(hit: CueHit, attempt: Candidate, words: Words) -> bool:
    """``failed endoscopy``, ``removed by lavage``: the cue stands before the attempt or in its own words."""
    if attempt.first <= hit.first and hit.last <= attempt.last:
        return True
    between = words.words[hit.last : attempt.first]
    return hit.last <= attempt.first and len(between) <= hit.cue.words and set(BREAKS).isdisjoint(between)


def _next_entry(between: list[str]) -> bool:
    """Whether a day stands between that heads a sentence or clause: then another event is told."""
    return any(
        word == "<date>" and before in BREAKS and after not in BREAKS
        for before, word, after in zip(between, between[1:], between[2:], strict=False)
    )
