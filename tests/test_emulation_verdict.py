"""What may be said: every path of the written rules."""

import math

import pytest
from unsnag.stats.emulation.verdict import CERTAINTIES, DOUBTS, judge, judge_pooled

SOUND = {
    "told_apart": True,
    "events": 25,
    "effective_size": 120.0,
    "clinics_with_both": 5,
    "clinics": 6,
    "worst_balance": 0.04,
    "heaviest_share": 0.12,
    "truncation_shift": 0.01,
    "sign_changes_without_a_clinic": 0,
    "e_value_limit": 1.9,
    "sign_changes_by_open_cases": 0,
    "sign_changes_without_notes": 0,
    "hardly_followed": 0.01,
    "lost_share": 0.02,
}


def said(difference=0.15, low=0.05, high=0.25, adjusted_p=None, **facts):
    return judge(difference, low, high, SOUND | facts, adjusted_p=adjusted_p)


@pytest.mark.parametrize("low, high, verdict", [(0.05, 0.25, "more"), (-0.25, -0.05, "fewer")])
def test_an_interval_without_zero_gives_a_direction(low, high, verdict):
    assert said(low=low, high=high) == {"verdict": verdict, "certainty": "moderate", "reasons": []}


@pytest.mark.parametrize(
    "low, high, verdict",
    [
        (-0.09, 0.09, "no clear difference"),
        (-0.10, 0.02, "cannot tell"),
        (-0.02, 0.10, "cannot tell"),
        (-0.3, 0.3, "cannot tell"),
    ],
)
def test_no_clear_difference_only_if_ten_in_a_hundred_are_excluded(low, high, verdict):
    assert said(difference=0.0, low=low, high=high)["verdict"] == verdict


@pytest.mark.parametrize(
    "fact, value, words",
    [
        ("events", 9, "events 9 of 10 needed"),
        ("effective_size", 29.4, "effective size 29 of 30 needed"),
        ("clinics_with_both", 1, "clinics with both 1 of 2 needed"),
    ],
)
def test_below_a_floor_it_is_too_few_to_tell_with_the_count(fact, value, words):
    assert said(**{fact: value}) == {"verdict": "too few to tell", "certainty": "", "reasons": [words]}


def test_aliased_strategies_cannot_be_told_apart_whatever_the_numbers():
    assert said(told_apart=False, events=0)["verdict"] == "cannot be told apart"


def test_a_difference_without_limits_cannot_be_told():
    assert said(low=math.nan)["verdict"] == "cannot tell"


@pytest.mark.parametrize(
    "adjusted_p, verdict", [(0.04, "more"), (0.06, "cannot tell"), (math.nan, "cannot tell")]
)
def test_many_planned_comparisons_ask_for_more(adjusted_p, verdict):
    assert said(adjusted_p=adjusted_p)["verdict"] == verdict


@pytest.mark.parametrize("rule", DOUBTS, ids=lambda rule: rule.fact)
def test_each_doubt_takes_a_step_of_certainty(rule):
    beyond = rule.limit + (0.01 if rule.beyond == "above" else -0.01)
    for value, certainty in ((rule.limit, "moderate"), (beyond, "low"), (math.nan, "low")):
        answer = said(**{rule.fact: value})
        assert answer["certainty"] == certainty
        assert answer["reasons"] == ([] if certainty == "moderate" else [rule.doubt])


def test_certainty_is_never_high_and_has_a_bottom():
    assert "high" not in CERTAINTIES
    assert said(clinics=3, worst_balance=0.3, lost_share=0.4)["certainty"] == "very low"


def test_an_e_value_says_nothing_about_no_difference():
    answer = said(difference=0.0, low=-0.05, high=0.05, e_value_limit=1.0, sign_changes_without_a_clinic=3)
    assert answer["certainty"] == "moderate"


def pooled(verdicts, interaction_p, feature="body_site", **facts):
    by_group = {(feature, str(place)): {"verdict": each} for place, each in enumerate(verdicts)}
    return judge_pooled(said(**facts), by_group, interaction_p)


@pytest.mark.parametrize(
    "groups, interaction_p, verdict",
    [
        (("more", "cannot tell"), 0.4, "more"),
        (("more", "too few to tell"), math.nan, "more"),
        (("more", "fewer"), 0.4, "depends on the group"),
        (("more", "more"), 0.03, "depends on the group"),
    ],
)
def test_a_pooled_verdict_gives_way_to_groups_that_differ(groups, interaction_p, verdict):
    assert pooled(groups, interaction_p)["verdict"] == verdict


@pytest.mark.parametrize(
    "groups, certainty",
    [
        (("more", "cannot tell"), "moderate"),
        (("more",), "moderate"),
        (("more", "too few to tell"), "low"),
        (("cannot be told apart", "too few to tell"), "low"),
    ],
)
def test_groups_too_few_to_judge_take_a_step_of_certainty(groups, certainty):
    answer = pooled(groups, math.nan)
    assert answer["certainty"] == certainty
    assert (answer["reasons"] == []) == (certainty == "moderate")
    assert certainty == "moderate" or answer["reasons"] == ["too few to tell whether it differs by body site"]


def test_too_few_in_all_stays_too_few_whatever_the_groups():
    assert pooled(("more", "fewer"), 0.01, events=2)["verdict"] == "too few to tell"


def test_a_pooled_verdict_without_groups_is_refused():
    with pytest.raises(ValueError, match="needs the verdicts by group"):
        judge_pooled(said(), {}, 0.5)
