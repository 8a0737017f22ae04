"""Parts of the body: each belongs to the nearest tackle or wound, or it is not reported.

Where tackle sits says how it injures: a hook in the stomach was swallowed, a hook in the wing is embedded.
"""

from collections.abc import Iterable, Sequence

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
SAYS_NO_PLACE = {"lead_poisoning", "none_found", "no", WRAPPER}
LOST = "part_missing"  # lost long ago, missing still
SEEN_INSIDE = {"gear_in_place", "gear_unmoved", "gear_moved"}


def _following(rule_id: str, code: str, yields_to: frozenset[str], why: str) -> Rule:
    """A rule without words of its own: it follows from where gear sits, and goes when the gear is denied."""
    return Rule(rule_id, "injury", code, why, yields_to=yields_to, denied="nothing")


ROUND = _following("site_round", "entangled", frozenset(), "net, rope or line there is round the animal")
DEEP = _following("site_deep", "ingested", frozenset(), "tackle so deep was swallowed")
SHALLOW = _following("site_shallow", "embedded", frozenset(), "a hook there is embedded")


def link_sites(words: Words, candidates: Sequence[Candidate], rules: Rules) -> list[Candidate]:
    """The candidates without parts of the body that nothing ails, with the injuries that others mean."""
    note = _Note(words, candidates, rules)
    kept: list[Candidate] = []
    last: tuple[Candidate, Candidate] | None = None
    for candidate in candidates:
        if candidate.axis != "body_site":
            kept.append(candidate)
            continue
        at = candidate
        blamed = note.nearest(at, note.ailing)
        if blamed is None and last and note.is_listed(last[0], candidate):
            at = last[1]
            blamed = note.nearest(at, note.ailing)
        if blamed is None:
            kept += note.goes_round(candidate)  # a strap is told of, but not where tackle sits
            continue
        last = candidate, at
        if blamed.status == "history" and blamed.rule.id != LOST:
            candidate.status = "history"
        candidate.reasons.append(f"'{words.said(blamed.first, blamed.last)}' beside it")
        kept.append(candidate)
        kept += note.follows(candidate, note.nearest(at, filter(_is_gear, candidates)))
        kept += note.goes_round(candidate)
    return kept


def _ails(candidate: Candidate) -> bool:
    """Whether a part of the body may be named for its sake."""
    return candidate.code in SEEN_INSIDE or (
        candidate.axis in BLAMED_ON_A_SITE and candidate.code not in SAYS_NO_PLACE
    )


def _is_gear(candidate: Candidate) -> bool:
    return candidate.code in SEEN_INSIDE or (
        candidate.axis in ("gear", HELPER) and candidate.code in SWALLOWED
    )


def _meant(rule: Rule, site: Candidate, gear: Candidate) -> Candidate:
    first, last = min(site.first, gear.first), max(site.last, gear.last)
    return Candidate(rule, first, last, rule.axis, rule.code, gear.status, list(gear.reasons))


class _Note:
    """What a note says of tackle, and which part of the body it says it of.

    ailing : for whose sake a part of the body is named
    """

    def __init__(self, words: Words, candidates: Sequence[Candidate], rules: Rules) -> None:
        self._words, self._candidates, self._lists = words, candidates, rules.lists
        self._deep = rules.deep_sites
        self._deep_places = [
            each for each in candidates if each.axis == "body_site" and each.code in self._deep
        ]
        self.ailing = [each for each in candidates if _ails(each)]
        self._points = [each for each in candidates if each.code in WITH_A_POINT and each.status != "absent"]

    def nearest(self, site: Candidate, others: Iterable[Candidate]) -> Candidate | None:
        """The nearest other in the sentence that is not denied; a hook before a line at the same distance."""
        near = [
            (distance, each.code not in WITH_A_POINT, each.first, each)
            for each in others
            if each.status != "absent" and (distance := self._distance(site, each)) <= FARTHEST
        ]
        return min(near, key=lambda item: item[:3])[3] if near else None

    def is_listed(self, site: Candidate, further: Candidate) -> bool:
        """Whether a place too far from what ails it goes on a list: ``hooks: wing, left thigh, inside of mouth``."""
        between = self._behind(site, further)
        return 0 < len(between) <= LIST_STEP and self._only(between, ",", "joins_places")

    def follows(self, site: Candidate, gear: Candidate | None) -> list[Candidate]:
        """The injury that gear at this part of the body means, as firm as the gear is."""
        if gear is None:
            return []
        beside = None if self._leads_out(gear, site) else self._point_beside(gear)
        gear = self._point_in(site) or beside or gear
        if site.code in self._deep - {"cloaca"} or self._is_within_the_neck(site, gear):
            return [_meant(DEEP, site, gear)]
        is_shallow = (
            gear.code in WITH_A_POINT
            and not self._is_only_felt_there(site)
            and self._sits_there(gear, site)
            and not self._is_deep_between(gear, site)
        )
        return [_meant(SHALLOW, site, gear)] if is_shallow else []

    def goes_round(self, site: Candidate) -> list[Candidate]:
        """A net, a rope or a strap at a limb or the neck lies round it, and so does a line on a limb."""
        if site.code not in LIMBS_AND_HEAD:
            return []
        gear = self.nearest(site, (each for each in self._candidates if each.code in GOES_ROUND))
        if gear and (site.code in LIMBS or gear.axis == HELPER) and self._lies_there(gear, site):
            return [_meant(ROUND, site, gear)]
        lines = (each for each in self._candidates if each.axis == "gear" and each.code == "line")
        line = self.nearest(site, lines) if site.code in HELD_BY_A_LINE else None
        return [_meant(ROUND, site, line)] if line and self._is_on(line, site) else []

    def _behind(self, one: Candidate, other: Candidate) -> list[str]:
        """The words from the end of one to the start of the other, if it follows."""
        return self._words.words[one.last : other.first]

    def _between(self, one: Candidate, other: Candidate) -> list[str]:
        return self._behind(*sorted((one, other), key=lambda each: each.first))

    def _has(self, said: Iterable[str], *names: str) -> bool:
        """Whether one of the words is in one of these lists."""
        return any(word in self._lists[name] for word in said for name in names)

    def _only(self, said: Iterable[str], mark: str, *names: str) -> bool:
        return all(word == mark or self._has((word,), *names) for word in said)

    def _distance(self, site: Candidate, other: Candidate) -> int:
        """Words between them, breaks counting double; beyond reach across the end of a sentence."""
        first, last = (site.last, other.first) if site.last <= other.first else (other.last, site.first)
        between = self._words.words[first:last]
        if "." in between:
            return FARTHEST + 1
        return len(between) + (BREAK_COSTS - 1) * between.count(",")

    def _lies_there(self, gear: Candidate, site: Candidate) -> bool:
        """Not what hangs out of the bill."""
        between = self._behind(gear, site)
        is_before = gear.axis == "gear" or (gear.last <= site.first and len(between) <= NEAR)
        return (
            is_before
            and self._sits_there(gear, site, round_it=True)
            and not self._has(between, "leading_out")
        )

    def _is_on(self, line: Candidate, site: Candidate) -> bool:
        """``line on left leg``, ``mono both feet``; not the line of a hook that sits there."""
        if line.last > site.first or line.status != "present":
            return False
        first, last = self._words.sentence(line.first)
        has_hook = any(first <= each.first < last for each in self._candidates if each.code in WITH_A_POINT)
        return not has_hook and self._only(self._behind(line, site), "", "on_a_limb")

    def _point_in(self, site: Candidate) -> Candidate | None:
        """The hook that is said to be in this very part, whatever stands behind it: ``hook in the web and line``."""
        for point in self._points:
            between = self._behind(point, site)
            is_in = self._has(between[:1], "into") and {",", "."}.isdisjoint(between)
            if is_in and len(between) <= NEAR:
                return point
        return None

    def _point_beside(self, gear: Candidate) -> Candidate | None:
        """The hook of which the gear is said in one breath: ``hook with line``, ``hook, line and sinker``."""
        named_gear = [each for each in self._candidates if each.axis == "gear"]
        named = {word for each in named_gear for word in self._words.words[each.first : each.last]}
        for point in self._points:
            if point.axis != "gear":
                continue
            between = [
                word for word in self._between(point, gear) if word not in named and not word[0].isdigit()
            ]
            if self._only(between, ",", "length", "or_word", "with_word"):
                return point
        return None

    def _leads_out(self, gear: Candidate, site: Candidate) -> bool:
        """``hook, line out of the mouth``: of the line alone it is said where it hangs."""
        return gear.code not in WITH_A_POINT and self._has(self._behind(gear, site), "leading_out")

    def _sits_there(self, gear: Candidate, site: Candidate, *, round_it: bool = False) -> bool:
        """Not ``hook hanging from bill``, a mark of a hook, nor ``line cut at the mouth and hook left``.

        round_it : for what lies round a part, and is told to
        """
        words, between = self._words.words, self._between(gear, site)
        if gear.first <= site.first:
            parted = self._has(between, "coat", *(() if round_it else ("round_it",)))
        else:
            parted = self._has(between, "joins") or "," in between
        parted = parted or self._has(between, "breaks_off")
        may_hang = gear.code != "lure" or self._has((words[site.first],), "line_leaves_by")
        hangs = may_hang and self._has(between, "hanging") and not {"from", "out"}.isdisjoint(between)
        in_skin = not self._has((words[site.last],), "coat")
        return gear.rule.status == "present" and not parted and not hangs and in_skin

    def _is_within_the_neck(self, site: Candidate, gear: Candidate) -> bool:
        """What hands feel or a film shows in the neck lies in the gullet; a hook that sits in its skin is seen."""
        if site.code != FELT_FROM_OUTSIDE:
            return False
        first, last = self._words.sentence(site.first)
        is_felt = self._has(self._words.words[first:last], "felt")
        return is_felt or any(each.code in SEEN_INSIDE and each.overlaps(gear) for each in self._candidates)

    def _is_deep_between(self, gear: Candidate, site: Candidate) -> bool:
        """``hook in gizzard, film of the wing``: it is said to be in the gizzard."""
        return any(gear.last <= each.first < site.first for each in self._deep_places)

    def _is_only_felt_there(self, site: Candidate) -> bool:
        """A hook that is felt in the neck and said to be in the gullet is not embedded in the neck."""
        if site.code != FELT_FROM_OUTSIDE:
            return site.code in NOT_EMBEDDED_IN
        return bool(self._deep_places)
