"""Clinics beside what their case mix lets expect: observed over expected releases, in a funnel from ten clinics on."""

import numpy as np
import pandas as pd

from unsnag.stats.arguments import divide
from unsnag.stats.funnel import funnel
from unsnag.stats.standardise import expected_count

TITLE = "Clinics and their case mix"
QUESTION = (
    "Does any clinic release more or fewer animals than its case mix lets expect, beyond chance and the ordinary "
    "variety between clinics?"
)
CAUTION = (
    "A clinic outside the limits deserves a question, not a rank: the case mix knows where the injury was and how "
    "grave, not how old, how lean or how late. Two clinics compare with the network, not with each other."
)
COLUMNS = {
    "clinic": "the clinic of the first admission",
    "resolved": "animals released, died or euthanased (admitted alive)",
    "observed": "of these, released",
    "expected": "releases expected if each kind of case went as in the whole network",
    "ratio": "observed over expected",
    "low_95": "lower 95 % control limit around 1",
    "high_95": "upper 95 % control limit around 1",
    "low_998": "lower 99.8 % control limit around 1",
    "high_998": "upper 99.8 % control limit around 1",
    "between_sd": "standard deviation between clinics that the limits allow for",
    "reason": "why there are no limits; empty if there are",
}
CELLS = """
select clinic, stratum, sum(released)::bigint as released, sum(resolved)::bigint as resolved
from mart.case_mix_cells
group by all
order by all
"""


def compute(mart):
    """One row per clinic.

    Source  stats.funnel (Spiegelhalter 2005)
    """
    cells = mart.frame(CELLS)
    if cells.empty:
        return pd.DataFrame(columns=list(COLUMNS))
    wide = cells.pivot_table(["released", "resolved"], "clinic", "stratum", "sum", fill_value=0)
    released, resolved = wide["released"].to_numpy(), wide["resolved"].to_numpy()
    rate = divide(released.sum(axis=0), resolved.sum(axis=0))
    expected, variance = expected_count(resolved, rate)
    found = funnel(released.sum(axis=1), expected, variance)
    return pd.DataFrame(
        {
            "clinic": wide.index,
            "resolved": resolved.sum(axis=1),
            "observed": released.sum(axis=1),
            "expected": expected,
            "ratio": found.ratio,
            "low_95": found.low[0],
            "high_95": found.high[0],
            "low_998": found.low[1],
            "high_998": found.high[1],
            "between_sd": np.full(len(wide), found.between_sd),
            "reason": found.reason,
        }
    )
