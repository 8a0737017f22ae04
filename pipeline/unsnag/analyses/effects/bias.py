"""What the design removes: the comparisons that mislead, beside the one that was planned."""

import numpy as np

from unsnag.stats.emulation.design import design
from unsnag.stats.emulation.landmark import landmark
from unsnag.stats.emulation.naive import ever_never, ever_treated_cox, time_dependent_cox
from unsnag.stats.emulation.person_days import ENDINGS

DEATH = [ENDINGS.index("died"), ENDINGS.index("euthanased")]


def biased_beside(days, question, confounders, rows):
    """Rows (question, method, measure, value, low, high, is_biased) for a question of early retrieval against watching.

    Other contrasts (by which means, line cut) have no "never retrieved" to be compared with: no rows.
    """
    first, second = question.strategy[:2]
    if first.settings["kind"] != "retrieve_within" or second.settings["kind"] != "watch_at_least":
        return []
    window = first.settings["days"]
    crude, mark = ever_never(days), landmark(days, window, confounders)
    planned = next(row for row in rows if row["group"] == "all" and row["measure"] == "released")
    return [
        (question.name, "ever retrieved against never, from admission", "released",
         100 * (crude["retrieved"][0] - crude["never"][0]), np.nan, np.nan, True),
        (question.name, f"retrieved by day {window} against still carrying, from then on", "released",
         100 * (mark["retrieved"][0] - mark["carrying"][0]), np.nan, np.nan, True),
        (question.name, "emulated trial, as planned", "released",
         -planned["difference"], -planned["high"], -planned["low"], False),
        *_hazard_ratios(days, question.name, confounders),
    ]  # fmt: skip


def _hazard_ratios(days, name, confounders):
    """Hazard ratio of death or euthanasia: treated as if known on day 0, then treated from its day on."""
    dead = np.isin(days.ending, DEATH)
    covariates = design(days.cases, [each for each in confounders if each != "clinic"])[0][:, 1:]
    clinic = days.cases["clinic"].to_numpy()
    methods = (
        ("Cox, ever treated as if known on day 0", ever_treated_cox, None, True),
        ("Cox, treated from its day on, adjusted for baseline", time_dependent_cox, covariates, True),
    )
    rows = []
    for label, fit_by, beside, is_biased in methods:
        fit = fit_by(days.end_day, dead, days.retrieval_day, beside, clinic)
        ratio, low, high = (values[0] for values in fit.hazard_ratios())
        rows.append((name, label, "hazard ratio of death or euthanasia", ratio, low, high, is_biased))
    return rows
