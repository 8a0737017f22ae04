"""The verdict on every row: within its group first, then on all animals in the light of the groups."""

import numpy as np

from unsnag.stats.emulation.facts import OUTCOMES
from unsnag.stats.emulation.multiplicity import benjamini_hochberg
from unsnag.stats.emulation.verdict import UNJUDGED, judge, judge_pooled

FACTS = ("events", "effective_size", "clinics", "clinics_with_both")
NOTHING = {"verdict": "", "certainty": "", "reasons": []}


def judged(rows, elsewhere):
    """Rows of the table effects from pairs of (Answer, row with its facts); ``elsewhere`` as in tables.gather."""
    adjusted = _adjusted(rows, elsewhere)
    said = [_alone(found, row, p) for (found, row), p in zip(rows, adjusted, strict=True)]
    for place, (found, row) in enumerate(rows):
        if row["effect_by"] == "all" and row["measure"] in OUTCOMES:
            said[place] = _pooled(found, row, rows, said, said[place])
            said[place]["reasons"] = [*said[place]["reasons"], *_if_ended_otherwise(found, row, said[place])]
    return [_written(row, p, answer) for (_, row), p, answer in zip(rows, adjusted, said, strict=True)]


def _written(row, adjusted_p, said):
    facts = row["facts"]
    return {name: value for name, value in row.items() if name != "facts"} | {
        "adjusted_p": adjusted_p,
        "verdict": said["verdict"],
        "certainty": said["certainty"],
        "reasons": "; ".join(said["reasons"]),
        "e_value": facts.get("e_value_limit", np.nan),
        **{name: int(facts[name]) for name in FACTS},
    }


def _adjusted(rows, elsewhere):
    """Adjusted p values, nan where no outcome is judged.

    One family is what was planned: all contrasts on all animals of every question, untested ones included. The
    groups of a question are a family of their own.
    """
    p = np.array([row["p"] for _, row in rows], dtype=float)
    family = [_family(row) for _, row in rows]
    adjusted = np.full(len(p), np.nan)
    for name in set(family) - {None}:
        mine = np.array([each == name for each in family])
        others = elsewhere if name == "planned" else []
        adjusted[mine] = benjamini_hochberg(np.concatenate([p[mine], others]))[: mine.sum()]
    return adjusted


def _family(row):
    if row["measure"] not in OUTCOMES:
        return None
    return "planned" if row["effect_by"] == "all" else row["question"]


def _alone(found, row, adjusted_p):
    if row["measure"] not in OUTCOMES:
        return NOTHING
    floors = found.floors
    return judge(
        row["difference"] / 100, row["low"] / 100, row["high"] / 100, row["facts"],
        floors={"events": floors.events_per_arm, "effective_size": floors.effective_size,
                "clinics_with_both": floors.clinics_using_both},
        adjusted_p=None if np.isnan(row["p"]) else adjusted_p,
    )  # fmt: skip


def _pooled(found, row, rows, said, alone):
    """The verdict on all animals, given only together with those on the groups."""
    same = ("question", "strategy", "measure")
    by_group = {
        (other["effect_by"], other["group"]): answer
        for (_, other), answer in zip(rows, said, strict=True)
        if other["effect_by"] != "all" and all(other[key] == row[key] for key in same)
    }
    if not by_group:  # nothing could be emulated, or all animals are of one kind
        return dict(alone)
    return dict(judge_pooled(alone, by_group, _interaction_p(found, row, by_group)))


def _interaction_p(found, row, by_group):
    """Smallest p value of a difference between groups that could be judged, times their number (Bonferroni)."""
    counted = [group for group, answer in by_group.items() if answer["verdict"] not in UNJUDGED]
    p = [
        p
        for _, by, group, first, strategy, _, measure, *_, p in found.interactions
        if (strategy, measure) == (row["strategy"], row["measure"])
        and (by, group) in counted
        and (by, first) in counted
    ]
    return min(1.0, min(p) * len(p)) if p else np.nan


def _if_ended_otherwise(found, row, said):
    """A line on those whose ending is not known, where a figure is told."""
    if said["verdict"] in (*UNJUDGED, "") or np.isnan(row["difference"]):
        return []
    same = {
        scenario: (animals, difference)
        for _, strategy, _, measure, scenario, animals, difference in found.sensitivity
        if (strategy, measure) == (row["strategy"], row["measure"])
    }
    (animals, low), (_, high) = same["least"], same["most"]
    if not animals or np.isnan([low, high]).any():
        return []
    those = "the one without a known ending" if animals == 1 else f"the {animals} without a known ending"
    if round(low) == round(high):
        return [f"{those} can hardly move it"]
    return [f"{those} could move it to between {_points(low)} and {_points(high)}"]


def _points(value):
    return f"{round(value):+d}".replace("-", "−") if round(value) else "0"
