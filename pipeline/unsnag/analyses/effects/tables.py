"""All answers together: adjusted p values, verdicts, and the tables that are written."""

import numpy as np

from unsnag.analyses.effects.answers import as_frame, no_row
from unsnag.analyses.effects.columns import TABLES
from unsnag.stats.emulation.facts import OUTCOMES
from unsnag.stats.emulation.multiplicity import benjamini_hochberg
from unsnag.stats.emulation.verdict import judge

FACTS = ("events", "effective_size", "clinics", "clinics_with_both")


def gather(answers):
    """Table → frame, in the order of the questions."""
    rows = [(found, row) for found in answers for row in found.rows or no_row(found)]
    adjusted = _adjusted([row for _, row in rows])
    effects = [_judged(found, row, p) for (found, row), p in zip(rows, adjusted, strict=True)]
    flow = [
        (found.question.name, step, number, animals)
        for found in answers
        for number, (step, animals) in enumerate(found.flow, start=1)
    ]
    frames = {
        "effects": effects,
        "effect_bias": [row for found in answers for row in found.bias],
        "effect_curves": [row for found in answers for row in found.curves],
        "effect_flow": flow,
        "effect_balance": [row for found in answers for row in found.balance],
    }
    return {name: as_frame(frames[name], TABLES[name]) for name in TABLES}


def _adjusted(rows):
    """Adjusted p over the planned contrasts on all animals and both outcomes; by group they are exploratory."""
    p = np.array([row["p"] for row in rows], dtype=float)
    planned = np.array([row["group"] == "all" and row["measure"] in OUTCOMES for row in rows], dtype=bool)
    planned &= ~np.isnan(p)
    adjusted = np.where(np.isnan(p), np.nan, p)
    if planned.any():
        adjusted[planned] = benjamini_hochberg(p[planned])
    return adjusted


def _judged(found, row, adjusted_p):
    facts = row.pop("facts")
    floors = found.floors
    said = {"verdict": "", "certainty": "", "reasons": []}
    if row["measure"] in OUTCOMES:
        said = judge(
            row["difference"] / 100, row["low"] / 100, row["high"] / 100, facts,
            floors={"events": floors.events_per_arm, "effective_size": floors.effective_size,
                    "clinics_with_both": floors.clinics_using_both},
            adjusted_p=None if np.isnan(adjusted_p) else adjusted_p,
        )  # fmt: skip
    return row | {
        "adjusted_p": adjusted_p,
        "verdict": said["verdict"],
        "certainty": said["certainty"],
        "reasons": "; ".join(said["reasons"]),
        "e_value": facts.get("e_value_limit", np.nan),
        **{name: int(facts[name]) for name in FACTS},
    }
