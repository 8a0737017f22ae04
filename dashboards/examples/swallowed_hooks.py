"""A worked example: how do turtles with a swallowed hook end, and how long does it take?

    python swallowed_hooks.py WORKSPACE

It uses published rows only, so that whoever has the public database gets the same numbers.
"""

import sys

import numpy as np
import pandas as pd
import unsnag
from unsnag.stats.incidence import cumulative_incidence, incidence_at
from unsnag.stats.proportions import wilson

RESOLVED = ["released", "died", "euthanased"]
DAYS = [7, 30, 90, 180]


def release_by_group(cases: pd.DataFrame) -> pd.DataFrame:
    """Released among released, died and euthanased, with 95 % limits (Wilson), for each group of animals."""
    resolved = cases[cases["is_alive_on_arrival"] & cases["outcome_class"].isin(RESOLVED)]
    counts = resolved.groupby("taxon_group_code")["outcome_class"].agg(
        released=lambda ending: (ending == "released").sum(), animals="count"
    )
    low, high = wilson(counts["released"].to_numpy(), counts["animals"].to_numpy())
    return counts.assign(percent=100 * counts["released"] / counts["animals"], low=100 * low, high=100 * high)


def ended_by_day(cases: pd.DataFrame) -> pd.DataFrame:
    """Share of the animals that had ended in each way by a day, in percent; endings compete.

    Cases still in care count for as long as they were seen: their ending is "".
    """
    seen = cases[cases["is_alive_on_arrival"] & cases["stay_days"].notna()]
    ending = seen["outcome_class"].where(seen["outcome_class"].isin(RESOLVED), "")
    curve = cumulative_incidence(seen["stay_days"].to_numpy(int), ending.to_numpy(str), RESOLVED)
    shares = [incidence_at(curve, day)[0][:, 0] for day in DAYS]
    return pd.DataFrame(100 * np.array(shares), index=pd.Index(DAYS, name="day"), columns=RESOLVED)


def main(workspace: str) -> None:
    """Print both tables with the cohort that they speak of."""
    cases = unsnag.open(workspace).cases(cohort="swallowed_hook_turtles")
    print(f"{len(cases)} cases of the cohort {cases.attrs['cohort']}")
    print(f"stay_days: {cases.attrs['columns']['stay_days']}\n")
    print(release_by_group(cases).round(1).to_string(), "\n")
    print(ended_by_day(cases).round(1).to_string())


if __name__ == "__main__":
    main(sys.argv[1])
