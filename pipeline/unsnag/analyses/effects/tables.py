"""All answers together: adjusted p values, verdicts, and the tables that are written."""

import numpy as np
import pandas as pd

from unsnag.analyses.effects.answers import no_row
from unsnag.analyses.effects.columns import TABLES
from unsnag.analyses.effects.verdicts import judged


def gather(answers, planned_rows=(), elsewhere=()):
    """Table → frame, in the order of the questions.

    planned_rows : rows of effect_questions
    elsewhere    : p values of planned contrasts that are not among the answers: they were planned, so they count
    """
    rows = [(found, row) for found in answers for row in found.rows or no_row(found)]
    flow = [
        (found.question.name, step, number, animals)
        for found in answers
        for number, (step, animals) in enumerate(found.flow, start=1)
    ]
    gathered = {
        "effects": judged(rows, np.array(elsewhere, dtype=float)),
        "effect_questions": list(planned_rows),
        "effect_flow": flow,
    }
    for name in ("interactions", "sensitivity", "bias", "curves", "balance", "weights"):
        gathered[f"effect_{name}"] = [row for found in answers for row in getattr(found, name)]
    return {name: pd.DataFrame(gathered[name], columns=list(TABLES[name])) for name in TABLES}
