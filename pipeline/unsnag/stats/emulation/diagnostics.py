"""Can the comparison be trusted? Flow, balance, effective size, support of both strategies, range of weights."""

import numpy as np
import pandas as pd

from .design import baseline_columns
from .person_days import ENDINGS
from .weights import last_weight

HEAVIEST = 0.025


def flow(days, weights):
    """Where each strategy's clones went.

    days    : PersonDays
    weights : dict of strategy name to clone weights, float array (n, horizon + 1)
    Returns   frame, one row per strategy: eligible, left_strategy, stayed, then of those who stayed the number of each
              ending, lost, and in_care_at_horizon (or at the end of the records)
    """
    rows = []
    for name, weight in weights.items():
        stayed = last_weight(weight, days.end_day) > 0
        counts = {ending: int((stayed & (days.ending == code)).sum()) for code, ending in enumerate(ENDINGS)}
        lost = int((stayed & days.lost).sum())
        left = int((~stayed).sum())
        open_end = int(stayed.sum()) - sum(counts.values()) - lost
        rows.append(
            {"strategy": name, "eligible": len(stayed), "left_strategy": left, "stayed": int(stayed.sum())}
            | counts
            | {"lost": lost, "in_care_at_horizon": open_end}
        )
    return pd.DataFrame(rows)


def effective_size(weight):
    """Kish's effective number of animals: (sum of weights) squared over sum of squares; 0 if all are 0.

    weight : float array (n,)
    Source : Kish (1965), Survey Sampling, section 11.7
    """
    squares = (weight**2).sum()
    return float(weight.sum() ** 2 / squares) if squares > 0 else 0.0


def weight_range(weight):
    """Describe the last weights of a strategy's clones.

    weight  : float array (n,), 0 for clones that left
    Returns   dict: stayed, mean_over_eligible (near 1 if the chances are modelled well), largest, percentile_99,
              effective_size, heaviest_share (share of all weight on the heaviest 2.5 % of eligible animals)
    """
    kept = weight[weight > 0]
    if not len(kept):
        return dict.fromkeys(("mean_over_eligible", "largest", "percentile_99", "heaviest_share"), np.nan) | {
            "stayed": 0,
            "effective_size": 0.0,
        }
    heaviest = np.sort(weight)[::-1][: max(1, round(HEAVIEST * len(weight)))]
    return {
        "stayed": len(kept),
        "mean_over_eligible": float(weight.mean()),
        "largest": float(kept.max()),
        "percentile_99": float(np.quantile(kept, 0.99)),
        "effective_size": effective_size(weight),
        "heaviest_share": float(heaviest.sum() / weight.sum()),
    }


def balance(cases, covariates, weight):
    """Do those who stayed in a strategy look like all who were eligible, before and after weighting?

    cases      : frame of baseline columns (n rows)
    covariates : names of columns
    weight     : float array (n,), last weights of the strategy's clones
    Returns      frame, one row per covariate or level: covariate, eligible (mean), before, after (means of those who
                 stayed), difference_before, difference_after (standardised by the eligible standard deviation)
    Source       Austin & Stuart (2015), Stat Med 34:3661; weights stopped at an ending keep the eligible mean
    """
    rows = []
    for name, values in baseline_columns(cases, covariates).items():
        spread = values.std()
        before, after = (
            np.average(values, weights=each) if each.any() else np.nan for each in (weight > 0, weight)
        )
        rows.append(
            {
                "covariate": name,
                "eligible": values.mean(),
                "before": before,
                "after": after,
                "difference_before": (before - values.mean()) / spread if spread > 0 else 0.0,
                "difference_after": (after - values.mean()) / spread if spread > 0 else 0.0,
            }
        )
    return pd.DataFrame(rows)


def support(level, first, second):
    """Is each of two strategies seen in every kind of animal?

    level         : text array (n,), e.g. body site
    first, second : bool array (n,), cases seen to follow one strategy and not the other
    Returns         frame, one row per level in order: level, cases, first, second, both_seen bool
    """
    table = pd.DataFrame({"level": np.asarray(level, str), "cases": 1, "first": first, "second": second})
    table = table.groupby("level", sort=True).sum().astype(int).reset_index()
    return table.assign(both_seen=(table["first"] > 0) & (table["second"] > 0))


def cannot_be_told_apart(table):
    """True if both strategies were followed, but never in one level: strategy and level are one in these records."""
    return bool(table["first"].any() and table["second"].any() and not table["both_seen"].any())


def tells_apart(first, second):
    """Cases that speak for one strategy only, from the last weights (n,) of both; two bool arrays (n,)."""
    return (first > 0) & (second == 0), (second > 0) & (first == 0)
