"""Cause-specific hazard ratios of baseline features, stratified by clinic, robust by animal."""

import numpy as np
import pandas as pd

from unsnag.stats.cox import cause_specific_cox

ENDINGS = ("released", "died", "euthanased")
FEATURES = ("injury", "severity", "taxon_group")
FEWEST_ENDINGS = 10
MOST_ANIMALS = 50_000  # a fit costs rows, not days and groups as the rest of this package does
POOLED = "small or unstated"
COLUMNS = {
    "ending": "the ending whose hazard is compared; animals that end otherwise count until then",
    "grouping": "the baseline feature: injury, severity and taxon_group stand together in one model an ending",
    "group_code": "the level of the feature",
    "reference": "the level that it is compared with: the one with most such endings",
    "animals": "animals of the level in the model",
    "endings": "endings of this kind among them",
    "hazard_ratio": "daily chance of the ending, relative to the reference, the other features being equal",
    "low": "lower 95 % limit, robust by animal",
    "high": "upper 95 % limit, robust by animal",
    "proportional_p": "chance of so strong a trend in time if the ratio were constant: small means it is an average",
    "model_animals": "animals in the model",
    "left_out": "animals left out: the small and unstated levels of a feature, where even together they have too few",
    "reason": "why there is no ratio, or empty",
}
ROWS = """
select
    clinic, animal_id, stay_days, entry_days, outcome_class,
    coalesce(injury_code, 'not_stated') as injury,
    coalesce(severity_code, 'not_stated') as severity,
    coalesce(taxon_group_code, 'not_stated') as taxon_group
from mart.cases
where is_tackle and is_alive_on_arrival and stay_days is not null and entry_days <= stay_days
order by case_id
"""


def compute(mart):
    """One row per ending, feature and level other than the reference.

    Levels with fewer than ten such endings, and unstated ones, are not told: they stand in the model together, or are
    left out where even together they have fewer than ten.

    Source  as stats/cox; ten endings a level as the customary least (common practice, no source)
    """
    rows = mart.frame(ROWS)
    frames = [model(rows, ending) for ending in ENDINGS]
    return pd.concat(frames, ignore_index=True)


def model(rows, ending):
    """The model of one ending.

    rows : frame with the columns of ROWS
    """
    used = pooled(rows, ending)
    levels = _levels(used, ending)
    if not levels:
        return pd.DataFrame(columns=list(COLUMNS))
    covariates = np.zeros((len(used), len(levels)))
    for column, (feature, level, _) in enumerate(levels):
        covariates[:, column] = used[feature] == level
    is_ended = (used["outcome_class"] == ending).to_numpy()
    frame = pd.DataFrame(levels, columns=["grouping", "group_code", "reference"]).assign(
        ending=ending,
        animals=covariates.sum(axis=0).astype(int),
        endings=covariates[is_ended].sum(axis=0).astype(int),
        model_animals=len(used),
        left_out=len(rows) - len(used),
        **_figures(used, covariates, is_ended),
    )
    return frame[frame["group_code"] != POOLED][list(COLUMNS)]


def _figures(used, covariates, is_ended):
    if len(used) > MOST_ANIMALS:
        untold = dict.fromkeys(("hazard_ratio", "low", "high", "proportional_p"), np.nan)
        return untold | {"reason": f"more than {MOST_ANIMALS:,} animals: fit the model on an extract"}
    stay, entry, clinic, animal = (
        used[name].to_numpy() for name in ("stay_days", "entry_days", "clinic", "animal_id")
    )
    fit = cause_specific_cox(covariates, stay, is_ended, entry, clinic, animal)
    ratio, low, high = fit.hazard_ratios()
    figures = {"hazard_ratio": ratio, "low": low, "high": high, "proportional_p": fit.proportional_p}
    return figures | {"reason": fit.reason}


def pooled(rows, ending):
    """The rows with small and unstated levels joined; without those that are too small even so.

    A level with hardly an ending has no ratio that could be estimated, and spoils the fit of the others. Leaving one
    out may make a level of another feature small, so it is done again until nothing changes.
    """
    while True:
        for feature in FEATURES:
            told = rows[feature].isin(_enough(rows, feature, ending) - {"not_stated"})
            rows = rows.assign(**{feature: rows[feature].where(told, POOLED)})
        enough = [rows[feature].isin(_enough(rows, feature, ending)) for feature in FEATURES]
        is_kept = np.logical_and.reduce(enough)
        if is_kept.all():
            return rows
        rows = rows[is_kept]


def _enough(rows, feature, ending):
    """The levels with enough endings of this kind."""
    endings = _endings(rows, feature, ending)
    return set(endings.index[endings >= FEWEST_ENDINGS])


def _levels(rows, ending):
    """(feature, level, reference) for every level but the reference, in order of codes."""
    levels = []
    for feature in FEATURES:
        endings = _endings(rows, feature, ending)
        codes = sorted(endings.index)
        told = [code for code in codes if code != POOLED]
        reference = max(told or codes, key=lambda code: endings[code], default="")
        levels += [(feature, code, reference) for code in codes if code != reference]
    return levels


def _endings(rows, feature, ending):
    """Endings of this kind by level, levels without any left out."""
    return rows.loc[rows["outcome_class"] == ending, feature].value_counts()
