"""What the design removes: the comparisons that mislead, beside the one that was planned."""

import numpy as np

from unsnag.stats.emulation.bootstrap import case_counts, percentile_interval, replicate
from unsnag.stats.emulation.design import design
from unsnag.stats.emulation.landmark import landmark
from unsnag.stats.emulation.naive import ever_never, ever_treated_cox, time_dependent_cox
from unsnag.stats.emulation.person_days import ENDINGS

DEATH = [ENDINGS.index("died"), ENDINGS.index("euthanased")]
BIASED, OTHER_QUESTION, PLANNED = "biased", "another question", "as planned"
RELEASED, HAZARD = "released", "hazard ratio of death or euthanasia"


def biased_beside(days, question, confounders, rows, resampling):
    """Rows of effect_bias for a question of early intervention against watching.

    Other contrasts (by which means, line cut) have no "never treated" to be compared with: no rows.
    """
    first, second = question.strategy[:2]
    if first.settings["kind"] != "retrieve_within" or second.settings["kind"] != "watch_at_least":
        return []
    planned = next(row for row in rows if row["group"] == "all" and row["measure"] == "released")
    emulated = (
        "Emulated trial",
        "released",
        -planned["difference"],
        -planned["high"],
        -planned["low"],
        PLANNED,
    )
    found = [emulated, *_in_points(days, first.settings["days"], confounders, resampling)]
    found += _hazard_ratios(days, confounders)
    return [(question.name, *row) for row in found]


def _in_points(days, window, confounders, resampling):
    """Landmark and ever against never in points of release, limits from the same resamplings as the emulated trial."""

    def both(counts):
        mark = landmark(days, window, confounders, counts)["difference"][0]
        return np.array([mark, ever_never(days, counts)["difference"][0]])

    counts = case_counts(days.cases["clinic"], resampling.replicates, resampling.seed)
    values = 100 * both(np.ones(len(days.cases), int))
    low, high = (100 * each for each in percentile_interval(replicate(both, counts)))
    names = (
        (f"Landmark: treated by day {window} against not yet, of those in care then", OTHER_QUESTION),
        ("Ever treated against never, from admission", BIASED),
    )
    return [
        (name, RELEASED, *figures, kind)
        for (name, kind), *figures in zip(names, values, low, high, strict=True)
    ]


def _hazard_ratios(days, confounders):
    """Hazard ratio of death or euthanasia: treated from its day on, then treated as if known on day 0."""
    dead = np.isin(days.ending, DEATH)
    covariates = design(days.cases, [each for each in confounders if each != "clinic"])[0][:, 1:]
    clinic = days.cases["clinic"].to_numpy()
    methods = (
        (
            "Cox, treated from its day on, adjusted for baseline only",
            time_dependent_cox,
            covariates,
            OTHER_QUESTION,
        ),
        ("Cox, ever treated as if known on day 0", ever_treated_cox, None, BIASED),
    )
    rows = []
    for label, fit_by, beside, kind in methods:
        fit = fit_by(days.end_day, dead, days.retrieval_day, beside, clinic)
        rows.append((label, HAZARD, *(values[0] for values in fit.hazard_ratios()), kind))
    return rows
