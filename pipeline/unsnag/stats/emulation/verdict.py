"""What may be said about a comparison: computed from written rules, never by taste.

A result from one network of records is never called highly certain, whatever its interval.
"""

import math
from dataclasses import dataclass

FLOORS = {"events": 10, "effective_size": 30, "clinics_with_both": 2}
MARGIN = 0.10  # ten animals in a hundred
HARDLY_FOLLOWED = 0.10  # beyond this share of animals without a like, intervals miss the truth too often
DISCOVERY_RATE = 0.05
CERTAINTIES = ("very low", "low", "moderate")

TOO_FEW = "too few to tell"
NOT_APART = "cannot be told apart"
CANNOT_TELL = "cannot tell"
NO_CLEAR_DIFFERENCE = "no clear difference"
MORE, FEWER = "more", "fewer"
DEPENDS = "depends on the group"
UNJUDGED = (TOO_FEW, NOT_APART)


@dataclass(frozen=True)
class Rule:
    """A doubt that takes one step of certainty away: when ``fact`` is beyond ``limit`` (or missing)."""

    fact: str
    beyond: str
    limit: float
    doubt: str

    def applies(self, facts):
        """Whether the doubt holds for a dict of facts; a fact that isn't known counts as doubt."""
        value = facts.get(self.fact, math.nan)
        if math.isnan(value):
            return True
        return value > self.limit if self.beyond == "above" else value < self.limit


# Each is one step down from "moderate"; two or more leave "very low".
DOUBTS = (
    Rule("clinics", "below", 5, "fewer than five clinics"),
    Rule(
        "worst_balance", "above", 0.1, "the animals followed differ from those eligible even after weighting"
    ),
    Rule("heaviest_share", "above", 0.25, "a few animals carry much of the weight"),
    Rule(
        "truncation_shift", "above", 0.05, "the result moves by more than 5 in 100 when large weights are cut"
    ),
    Rule("sign_changes_without_a_clinic", "above", 0, "leaving out one clinic turns the result round"),
    Rule(
        "sign_changes_by_open_cases",
        "above",
        0,
        "what became of those lost or in care could turn the result round",
    ),
    Rule("sign_changes_without_notes", "above", 0, "leaving out what came from notes turns the result round"),
    Rule("e_value_limit", "below", 1.5, "weak unmeasured confounding could explain it"),
    Rule("hardly_followed", "above", 0.02, "some animals hardly ever got what a strategy asks"),
    Rule("lost_share", "above", 0.1, "more than one in ten cases was lost from sight"),
)


def judge(difference, low, high, facts, floors=FLOORS, margin=MARGIN, adjusted_p=None):
    """The verdict on one difference in the chance of an outcome.

    difference, low, high : floats in [-1, 1], strategy minus reference, nan if it could not be estimated
    facts      : dict with the names in FLOORS (events, effective size: the smaller of the two strategies' figures),
                 "told_apart" bool, and the facts that DOUBTS name
    adjusted_p : p value after allowing for every planned comparison, None if there is only one
    Returns      dict: verdict text, certainty text or "" (no statement, no certainty), reasons list of text
    """
    if not facts["told_apart"]:
        return _answer(NOT_APART, ["in these records the strategy goes with one kind of animal only"])
    short = [
        f"{name.replace('_', ' ')} {math.floor(facts[name])} of {floor} needed"
        for name, floor in floors.items()
        if facts[name] < floor
    ]
    if short:
        return _answer(TOO_FEW, short)
    if facts["hardly_followed"] > HARDLY_FOLLOWED:
        share = math.ceil(100 * facts["hardly_followed"])
        return _answer(CANNOT_TELL, [f"{share} in 100 animals hardly ever got what a strategy asks"])
    if any(math.isnan(value) for value in (difference, low, high)):
        return _answer(CANNOT_TELL, ["the chance could not be estimated up to the horizon"])
    verdict, reasons = _direction(low, high, margin, adjusted_p)
    if verdict == CANNOT_TELL:
        return _answer(verdict, reasons)
    doubts = [rule.doubt for rule in DOUBTS if _concerns(rule, verdict) and rule.applies(facts)]
    certainty = CERTAINTIES[max(0, len(CERTAINTIES) - 1 - len(doubts))]
    return {"verdict": verdict, "certainty": certainty, "reasons": reasons + doubts}


def judge_pooled(overall, by_group, interaction_p):
    """The verdict on everybody, given only together with those on the groups.

    overall       : dict, as judge() answers
    by_group      : dict of (feature, level) to what judge() answers for it
    interaction_p : p value of "the effect is the same in all groups", nan if it could not be tested
    Returns         dict as judge(); groups that point apart, or a proven interaction, leave no pooled verdict. Where a
                    feature has no two groups that can be judged, this takes a step of certainty.
    Raises          ValueError: no groups
    """
    if not by_group:
        raise ValueError(
            "a pooled verdict needs the verdicts by group; compare with by = body_site or taxon_group"
        )
    said = {answer["verdict"] for answer in by_group.values()}
    if overall["verdict"] not in UNJUDGED and ({MORE, FEWER} <= said or interaction_p <= DISCOVERY_RATE):
        return _answer(DEPENDS, ["the effect differs between groups: read each by itself"])
    unknown = [name for name in dict.fromkeys(by for by, _ in by_group) if not _can_differ(by_group, name)]
    if not (unknown and overall["certainty"]):
        return overall
    reason = f"too few to tell whether it differs by {' or by '.join(unknown).replace('_', ' ')}"
    certainty = CERTAINTIES[max(0, CERTAINTIES.index(overall["certainty"]) - 1)]
    return overall | {"certainty": certainty, "reasons": [*overall["reasons"], reason]}


def _can_differ(by_group, feature):
    """Whether two groups of a feature could be judged, or the feature has but one."""
    verdicts = [answer["verdict"] for (by, _), answer in by_group.items() if by == feature]
    return len(verdicts) == 1 or sum(verdict not in UNJUDGED for verdict in verdicts) > 1


def _direction(low, high, margin, adjusted_p):
    if low <= 0 <= high:
        if -margin < low and high < margin:
            return NO_CLEAR_DIFFERENCE, [f"a difference of {margin * 100:.0f} in 100 either way is excluded"]
        return CANNOT_TELL, [f"a difference of {margin * 100:.0f} in 100 is not excluded, nor is none"]
    if adjusted_p is not None and not adjusted_p <= DISCOVERY_RATE:
        return CANNOT_TELL, ["a difference this size is not surprising among so many planned comparisons"]
    return (MORE if low > 0 else FEWER), []


def _concerns(rule, verdict):
    """An E-value speaks of a difference found, a sign that turns likewise."""
    about_a_difference = rule.fact == "e_value_limit" or rule.fact.startswith("sign_changes")
    return verdict != NO_CLEAR_DIFFERENCE or not about_a_difference


def _answer(verdict, reasons):
    return {"verdict": verdict, "certainty": "", "reasons": reasons}
