"""Verdicts over all planned questions: groups first, then all animals in their light; families of p values."""

from types import SimpleNamespace

import numpy as np
import pytest
from test_emulation_verdict import SOUND
from unsnag.analyses.effects.verdicts import judged

FLOORS = SimpleNamespace(events_per_arm=10, effective_size=30, clinics_using_both=2)


def row(group="all", question="q", difference=15.0, low=8.0, high=22.0, p=0.001, measure="released", **facts):
    by = "all" if group == "all" else "body_site"
    return {
        "question": question, "strategy": "watch", "measure": measure, "effect_by": by, "group": group,
        "difference": difference, "low": low, "high": high, "p": p, "facts": SOUND | facts,
    }  # fmt: skip


def answers(*rows, interactions=(), sensitivity=()):
    found = SimpleNamespace(floors=FLOORS, interactions=interactions, sensitivity=list(sensitivity))
    return [(found, each) for each in rows]


def between(p, group="stomach", first="mouth"):
    return ("q", "body_site", group, first, "watch", "early", "released", 20.0, 5.0, 35.0, p)


def supposed(least, most, animals=3):
    pairs = (("least", least), ("most", most))
    return [("q", "watch", "early", "released", name, animals, value) for name, value in pairs]


def verdicts(rows, elsewhere=()):
    return [found["verdict"] for found in judged(rows, np.array(elsewhere, dtype=float))]


GROUPS = row("mouth"), row("stomach")


def test_groups_that_agree_leave_the_pooled_verdict():
    rows = answers(row(), *GROUPS, interactions=[between(0.6)], sensitivity=supposed(14, 16))
    assert verdicts(rows) == ["more", "more", "more"]


def test_an_interaction_leaves_no_pooled_verdict():
    rows = answers(row(), *GROUPS, interactions=[between(0.02)], sensitivity=supposed(14, 16))
    assert verdicts(rows) == ["depends on the group", "more", "more"]


def test_interactions_are_allowed_for_by_their_number():
    two = [between(0.03), between(0.9, group="throat")]
    rows = answers(row(), *GROUPS, row("throat"), interactions=two, sensitivity=supposed(14, 16))
    assert verdicts(rows)[0] == "more"  # 0.03 times two is no longer surprising


def test_an_interaction_with_a_group_that_is_too_small_says_nothing():
    rows = answers(
        row(),
        row("mouth", events=2),
        row("stomach"),
        interactions=[between(0.001)],
        sensitivity=supposed(14, 16),
    )
    (overall, *_) = judged(rows, np.array([]))
    assert (overall["verdict"], overall["certainty"]) == ("more", "low")
    assert "too few to tell whether it differs by body site" in overall["reasons"]


def test_groups_that_point_apart_leave_no_pooled_verdict():
    against = row("mouth", difference=-15.0, low=-22.0, high=-8.0)
    assert (
        verdicts(answers(row(), against, row("stomach"), sensitivity=supposed(14, 16)))[0]
        == "depends on the group"
    )


@pytest.mark.parametrize(
    "least, most, words",
    [
        (-3.2, 21.0, "the 3 without a known ending could move it to between −3 and +21"),
        (15.1, 15.4, "the 3 without a known ending can hardly move it"),
    ],
)
def test_those_without_a_known_ending_are_told_of(least, most, words):
    rows = answers(row(), *GROUPS, sensitivity=supposed(least, most))
    assert judged(rows, np.array([]))[0]["reasons"].endswith(words)


def test_questions_that_were_not_asked_count_among_the_planned_ones():
    # Benjamini-Hochberg by hand: 0.02 alone stays; with two of p = 1 beside it, 3 x 0.02 / 1.
    rows = answers(row(p=0.02), *GROUPS, sensitivity=supposed(14, 16))
    assert verdicts(rows)[0] == "more"
    rows = answers(row(p=0.02), *GROUPS, sensitivity=supposed(14, 16))
    assert verdicts(rows, [1.0, 1.0])[0] == "cannot tell"


def test_a_question_too_small_to_test_counts_among_the_planned_ones():
    small = row(question="other", p=np.nan, difference=np.nan, low=np.nan, high=np.nan, events=0)
    rows = answers(row(p=0.03), *GROUPS, sensitivity=supposed(14, 16)) + answers(small)
    first, *_, last = judged(rows, np.array([]))
    assert first["adjusted_p"] == pytest.approx(0.06)
    assert last["verdict"] == "too few to tell"


def test_groups_are_a_family_of_their_own():
    rows = answers(row(p=0.001), row("mouth", p=0.03), row("stomach", p=0.9), sensitivity=supposed(14, 16))
    adjusted = [found["adjusted_p"] for found in judged(rows, np.array([]))]
    assert adjusted == pytest.approx([0.001, 0.06, 0.9])
