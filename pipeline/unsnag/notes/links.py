"""Parts of the body: each belongs to the nearest tackle or wound, or it is not reported.

Where tackle sits says how it injures: a hook in the stomach was swallowed, a hook in the wing is embedded.
"""

from collections.abc import Collection, Iterable, Sequence

from unsnag.notes.match import Candidate
from unsnag.notes.rules import HELPER, Rule, Rules
from unsnag.notes.tokens import Words

FARTHEST = 9
BREAK_COSTS = 3
NEAR = 4
LIST_STEP = 6
WITH_A_POINT = {"hook", "lure"}
SWALLOWED = WITH_A_POINT | {"line", "sinker", "swivel_or_leader", "unspecified_tackle"}
NOT_EMBEDDED_IN = {"shell", "cloaca"}
FELT_FROM_OUTSIDE = "neck"
BLAMED_ON_A_SITE = {"gear", "injury", "line_trailing", "helper"}
WRAPPER = "wrapper"  # string, straps and bags: what lies round an animal and is no tackle
GOES_ROUND = {"net", "rope_or_twine", WRAPPER}
LIMBS = {"neck", "wing", "flipper", "foot_or_leg", "body_wall", "tail"}
LIMBS_AND_HEAD = {*LIMBS, "head", "beak_or_jaw"}
HELD_BY_A_LINE = {"neck", "wing", "flipper", "foot_or_leg"}
ON_A_LIMB = {
    "on", "at", "l", "r", "left", "right", "both", "all", "the", "its", "his", "her", "one", "and", "btw", "between",
    "two", "old", "fine", "still", "en", "la", "el", "las", "los", "ambas", "ambos", "dos", "entre", "over", "across",
}  # fmt: skip
COATS = {"feathers", "fur", "plumage", "down"}
HANGING = {"hanging", "dangling"}
LINE_LEAVES_BY = {"mouth", "boca"}
ROUND_IT = {"round", "around", "alrededor"}
LEADING_OUT = {
    "from",
    "out",
    "hanging",
    "trailing",
    "dangling",
    "protruding",
    "fuera",
    "saliendo",
    "colgando",
}
LENGTHS = {
    "short", "long", "about", "cm", "m", "ft", "foot", "in", "inch", "inches", "metre", "metres", "length", "heavy",
}  # fmt: skip
INTO = {"in", "into", "through", "thru", "en", "por"}
BREAKS_OFF = {
    "gone",
    "longer",
    "colgando",
    "burn",
    "burns",
    "injury",
    "wound",
    "cut",
    "mark",
    "marks",
    "scar",
    "stump",
    "swallowed",
    "tragado",
}
SAYS_NO_PLACE = {"lead_poisoning", "none_found", "no", WRAPPER}
LOST = "part_missing"  # lost long ago, missing still
JOINS_PLACES = {
    ",", "and", "y", "e", "both", "one", "the", "its", "his", "her", "in", "inside", "on", "of", "l", "r", "left",
    "right", "upper", "lower", "en", "la", "el", "las", "los", "ambas", "ambos",
}  # fmt: skip
SEEN_INSIDE = {"gear_in_place", "gear_unmoved", "gear_moved"}


def _following(rule_id: str, code: str, yields_to: frozenset[str], why: str) -> Rule:
    """A rule without words of its own: it follows from where gear sits, and goes when the gear is denied."""
    return Rule(rule_id, "injury", code, why, yields_to=yields_to, denied="nothing")


ROUND = _following("site_round", "entangled", frozenset(), "net, rope or line there is round the animal")
DEEP = _following("site_deep", "ingested", frozenset(), "tackle so deep was swallowed")
SHALLOW = _following("site_shallow", "embedded", frozenset(), "a hook there is embedded")


def link_sites(words: Words, candidates: Sequence[Candidate], rules: Rules) -> list[Candidate]:
    """The candidates without parts of the body that nothing ails, with the injuries that others mean."""
    kept: list[Candidate] = []
    ailing = [each for each in candidates if _ails(each)]
    last: tuple[Candidate, Candidate] | None = None
    for candidate in candidates:
        if candidate.axis != "body_site":
            kept.append(candidate)
            continue
        at = candidate
        blamed = _nearest(at, ailing, words)
        if blamed is None and last and _joined(last[0], candidate, words):
            at = last[1]
            blamed = _nearest(at, ailing, words)
        if blamed is None:
            kept += _goes_round(candidate, candidates, words)  # a strap is told of, but not where tackle sits
            continue
        last = candidate, at
        if blamed.status == "history" and blamed.rule.id != LOST:
            candidate.status = "history"
        candidate.reasons.append(f"'{words.said(blamed.first, blamed.last)}' beside it")
        kept.append(candidate)
        gear = _nearest(at, filter(_is_gear, candidates), words)
        kept += _follows(candidate, gear, words, rules, candidates)
        kept += _goes_round(candidate, candidates, words)
    return kept


def _joined(site: Candidate, further: Candidate, words: Words) -> bool:
    """Whether a place too far from what ails it goes on a list: ``hooks: wing, left thigh and inside of mouth``."""
    between = words.words[site.last : further.first]
    return 0 < len(between) <= LIST_STEP and set(between) <= JOINS_PLACES


def _ails(candidate: Candidate) -> bool:
    """Whether a part of the body may be named for its sake."""
    return candidate.code in SEEN_INSIDE or (
        candidate.axis in BLAMED_ON_A_SITE and candidate.code not in SAYS_NO_PLACE
    )


def _is_gear(candidate: Candidate) -> bool:
    return candidate.code in SEEN_INSIDE or (
        candidate.axis in ("gear", HELPER) and candidate.code in SWALLOWED
    )


def _nearest(site: Candidate, others: Iterable[Candidate], words: Words) -> Candidate | None:
    """The nearest other in the sentence that is not denied; a hook before a line at the same distance."""
    near = [
        (distance, each.code not in WITH_A_POINT, each.first, each)
        for each in others
        if each.status != "absent" and (distance := _distance(site, each, words)) <= FARTHEST
    ]
    return min(near, key=lambda item: item[:3])[3] if near else None


def _distance(site: Candidate, other: Candidate, words: Words) -> int:
    """Words between them, breaks counting double; beyond reach across the end of a sentence."""
    first, last = (site.last, other.first) if site.last <= other.first else (other.last, site.first)
    between = words.words[first:last]
    if "." in between:
        return FARTHEST + 1
    return len(between) + (BREAK_COSTS - 1) * between.count(",")


def _follows(
    site: Candidate, gear: Candidate | None, words: Words, rules: Rules, candidates: Sequence[Candidate]
) -> list[Candidate]:
    """The injury that gear at this part of the body means, as firm as the gear is."""
    if gear is None:
        return []
    beside = None if _leads_out(gear, site, words) else _point_beside(gear, candidates, words, rules)
    gear = _point_in(site, candidates, words) or beside or gear
    if site.code in rules.deep_sites - {"cloaca"} or _within_the_neck(site, gear, words, rules, candidates):
        rule = DEEP
    elif (
        gear.code in WITH_A_POINT
        and not _only_felt_there(site, candidates, rules)
        and _sits_there(gear, site, words)
        and not _deep_between(gear, site, candidates, rules)
    ):
        rule = SHALLOW
    else:
        return []
    return [_meant(rule, site, gear)]


def _goes_round(site: Candidate, candidates: Iterable[Candidate], words: Words) -> list[Candidate]:
    """A net, a rope or a strap at a limb or the neck lies round it, and so does a line on a limb."""
    if site.code not in LIMBS_AND_HEAD:
        return []
    gear = _nearest(site, (each for each in candidates if each.code in GOES_ROUND), words)
    if gear and (site.code in LIMBS or gear.axis == HELPER) and _lies_there(gear, site, words):
        return [_meant(ROUND, site, gear)]
    line = _nearest(site, (each for each in candidates if each.axis == "gear" and each.code == "line"), words)
    is_held = site.code in HELD_BY_A_LINE and line and _is_on(line, site, words, candidates)
    return [_meant(ROUND, site, line)] if is_held else []


def _lies_there(gear: Candidate, site: Candidate, words: Words) -> bool:
    """Not what hangs out of the bill."""
    between = words.words[gear.last : site.first]
    is_before = gear.axis == "gear" or (gear.last <= site.first and len(between) <= NEAR)
    return is_before and _sits_there(gear, site, words, ()) and LEADING_OUT.isdisjoint(between)


def _is_on(line: Candidate, site: Candidate, words: Words, candidates: Iterable[Candidate]) -> bool:
    """``line on left leg``, ``mono both feet``; not the line of a hook that sits there."""
    between = words.words[line.last : site.first]
    if line.last > site.first or not set(between) <= ON_A_LIMB or line.status != "present":
        return False
    first, last = words.sentence(line.first)
    return not any(first <= each.first < last for each in candidates if each.code in WITH_A_POINT)


def _meant(rule: Rule, site: Candidate, gear: Candidate) -> Candidate:
    first, last = min(site.first, gear.first), max(site.last, gear.last)
    return Candidate(rule, first, last, rule.axis, rule.code, gear.status, list(gear.reasons))


def _point_in(site: Candidate, candidates: Iterable[Candidate], words: Words) -> Candidate | None:
    """The hook that is said to be in this very part, whatever stands behind it: ``hook in the web and line``."""
    for point in candidates:
        between = words.words[point.last : site.first]
        is_in = between[:1] and between[0] in INTO and {",", "."}.isdisjoint(between)
        if is_in and len(between) <= NEAR and point.code in WITH_A_POINT and point.status != "absent":
            return point
    return None


def _point_beside(
    gear: Candidate, candidates: Iterable[Candidate], words: Words, rules: Rules
) -> Candidate | None:
    """The hook of which the gear is said in one breath: ``hook with line``, ``hook, line and sinker``."""
    joining = {",", *LENGTHS, *rules.lists["or_word"], *rules.lists["with_word"]}
    named_gear = [each for each in candidates if each.axis == "gear"]
    named = {word for each in named_gear for word in words.words[each.first : each.last]}
    points = [each for each in named_gear if each.code in WITH_A_POINT and each.status != "absent"]
    for point in points:
        first, last = sorted((point, gear), key=lambda each: each.first)
        if {
            word for word in words.words[first.last : last.first] if not word[0].isdigit()
        } <= joining | named:
            return point
    return None


def _leads_out(gear: Candidate, site: Candidate, words: Words) -> bool:
    """``hook, line out of the mouth``: of the line alone it is said where it hangs."""
    return gear.code not in WITH_A_POINT and not LEADING_OUT.isdisjoint(words.words[gear.last : site.first])


def _sits_there(gear: Candidate, site: Candidate, words: Words, round_it: Collection[str] = ROUND_IT) -> bool:
    """Not ``hook hanging from bill``, a mark of a hook, nor ``line cut at the mouth and hook left``."""
    first, last = sorted((gear, site), key=lambda each: each.first)
    between = words.words[first.last : last.first]
    parted = BREAKS_OFF | COATS | set(round_it) if gear is first else BREAKS_OFF | {",", "and", "y"}
    may_hang = gear.code != "lure" or words.words[site.first] in LINE_LEAVES_BY
    hangs = may_hang and not HANGING.isdisjoint(between) and not {"from", "out"}.isdisjoint(between)
    in_skin = words.words[site.last] not in COATS
    return gear.rule.status == "present" and parted.isdisjoint(between) and not hangs and in_skin


def _within_the_neck(
    site: Candidate, gear: Candidate, words: Words, rules: Rules, candidates: Iterable[Candidate]
) -> bool:
    """What hands feel or a film shows in the neck lies in the gullet; a hook that sits in its skin is seen."""
    if site.code != FELT_FROM_OUTSIDE:
        return False
    first, last = words.sentence(site.first)
    is_felt = not set(rules.lists["felt"]).isdisjoint(words.words[first:last])
    return is_felt or any(each.code in SEEN_INSIDE and each.overlaps(gear) for each in candidates)


def _deep_between(gear: Candidate, site: Candidate, candidates: Iterable[Candidate], rules: Rules) -> bool:
    """``hook in gizzard, film of the wing``: it is said to be in the gizzard."""
    return any(
        each.axis == "body_site" and each.code in rules.deep_sites and gear.last <= each.first < site.first
        for each in candidates
    )


def _only_felt_there(site: Candidate, candidates: Sequence[Candidate], rules: Rules) -> bool:
    """A hook that is felt in the neck and said to be in the gullet is not embedded in the neck."""
    if site.code != FELT_FROM_OUTSIDE:
        return site.code in NOT_EMBEDDED_IN
    return any(each.axis == "body_site" and each.code in rules.deep_sites for each in candidates)
