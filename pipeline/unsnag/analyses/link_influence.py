"""How much hangs on which stays were taken for one animal's: the main figures under other ways of joining them."""

import numpy as np

from unsnag.stats.proportions import wilson

TITLE = "One animal, one case"
QUESTION = "How many stays were joined into cases, on what evidence, and would the figures change without?"
CAUTION = "A stay that was joined wrongly hides an animal, one that was not joined counts an animal twice."
TABLES = {
    "link_influence": {
        "scenario": "way of joining: as_counted, none_joined, stated_only or doubtful_joined",
        "cases": "cases of all causes",
        "tackle_cases": "cases injured by tackle",
        "transferred": "of the live tackle admissions those that end in a transfer whose other end was not found",
        "denominator": "live tackle admissions that were released, died or were euthanased",
        "numerator": "of these the released",
        "percent": "numerator in percent of denominator",
        "wilson_low": "lower 95 % limit, Wilson, percent",
        "wilson_high": "upper 95 % limit, Wilson, percent",
    },
    "link_evidence": {
        "kind": "hand_over: from one clinic to another; second_entry: typed twice in one clinic",
        "basis": "evidence: stated by numbers or bands, weighed (alike), decided by the steward, or open (not joined)",
        "pairs": "pairs of stays",
    },
}
SCENARIOS = ("as_counted", "none_joined", "stated_only", "doubtful_joined")
COUNTS = """
select
    scenarios.scenario,
    sum(animals)::bigint as cases,
    coalesce(sum(animals) filter (where is_tackle), 0)::bigint as tackle_cases,
    coalesce(sum(animals) filter (where is_live_tackle and scenarios.outcome_class = 'transferred'), 0)::bigint
        as transferred,
    coalesce(sum(animals) filter (where is_live_tackle and is_numerator is not null), 0)::bigint as denominator,
    coalesce(sum(animals) filter (where is_live_tackle and is_numerator), 0)::bigint as numerator
from (select *, is_tackle and is_alive_on_arrival as is_live_tackle from mart.link_scenarios) as scenarios
left join mart.convention_roles as roles
    on roles.convention = 'resolved' and roles.outcome_timing_code = 'not_stated'
    and scenarios.outcome_class = roles.outcome_class
group by scenarios.scenario
order by list_position($scenarios, scenarios.scenario)
"""


def compute(mart):
    """Two frames: a row per way of joining, a row per kind of link and evidence.

    Source  Wilson (1927) limits; the release convention 'resolved' of codes/release_convention.csv
    """
    frame = mart.frame(COUNTS, scenarios=list(SCENARIOS))
    numerator, denominator = frame["numerator"].to_numpy(), frame["denominator"].to_numpy()
    frame["percent"] = 100 * numerator / np.where(denominator > 0, denominator, np.nan)
    low, high = wilson(numerator, denominator)
    frame["wilson_low"], frame["wilson_high"] = 100 * low, 100 * high
    evidence = mart.frame("select kind, basis, pairs from mart.link_counts order by kind, basis")
    return {"link_influence": frame, "link_evidence": evidence}
