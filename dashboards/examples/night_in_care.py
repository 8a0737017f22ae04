"""An analysis of one's own, to be put into a workspace's folder analyses/: did animals last the first night?

It has the contract of every analysis: TITLE, QUESTION, CAUTION, COLUMNS and compute(mart). Because compute sees the
private cases, only its rows that rest on clinics and animals enough are published; for that, it counts both.
"""

from unsnag.stats.proportions import wilson

TITLE = "The first night in care"
QUESTION = "Of the animals that came alive, by severity, how many lived to the day after admission?"
CAUTION = "Severity is what the clinic wrote at admission; animals that were euthanased for mercy's sake count as lost."
COLUMNS = {
    "severity_code": "how grave the injury was at admission",
    "clinics": "clinics that they came to",
    "animals": "tackle cases admitted alive with a known day of ending or last sight",
    "lasted": "of these, alive on the day after admission, or released before",
    "percent": "lasted in percent of animals",
    "low": "lower 95 % limit, Wilson, percent",
    "high": "upper 95 % limit, Wilson, percent",
}
COUNTS = """
select
    coalesce(severity_code, 'not_stated') as severity_code,
    count(distinct clinic) as clinics,
    count(*) as animals,
    count(*) filter (where stay_days >= 1 or outcome_class not in ('died', 'euthanased')) as lasted
from mart.cases
where is_tackle and is_alive_on_arrival and stay_days is not null
group by all
order by all
"""


def compute(mart):
    """One row per severity."""
    frame = mart.frame(COUNTS)
    low, high = wilson(frame["lasted"].to_numpy(), frame["animals"].to_numpy())
    frame["percent"] = 100 * frame["lasted"] / frame["animals"]
    frame["low"], frame["high"] = 100 * low, 100 * high
    return frame[list(COLUMNS)]
