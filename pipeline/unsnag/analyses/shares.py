"""What the animals, the tackle and the procedures were: shares with exact limits, each of its own total."""

from unsnag.stats.proportions import clopper_pearson

TITLE = "What came, and what was done"
QUESTION = "What share of animals, of gear items and of procedures was of each kind?"
CAUTION = "Animals, gear items and procedures have totals of their own: one animal can carry two hooks."
COLUMNS = {
    "level": "what is counted: animal, gear_item or procedure",
    "axis": "the feature",
    "code": "its shared code; 'not_stated' where the record is silent",
    "count": "how many",
    "total": "of how many",
    "clinics": "clinics that they came to",
    "percent": "count in percent of total",
    "exact_low": "lower 95 % limit, exact (Clopper-Pearson), percent",
    "exact_high": "upper 95 % limit, exact (Clopper-Pearson), percent",
}

COUNTS = """
with counted as (
    select level, axis, code, sum(count)::bigint as count, count(distinct clinic) as clinics
    from mart.share_cells
    group by all
)
select *, (sum(count) over (partition by level, axis))::bigint as total
from counted
order by level, axis, count desc, code
"""


def compute(mart):
    """One row per level, axis and code, tackle cases only."""
    frame = mart.frame(COUNTS)
    low, high = clopper_pearson(frame["count"].to_numpy(), frame["total"].to_numpy())
    frame["percent"] = 100 * frame["count"] / frame["total"]
    frame["exact_low"], frame["exact_high"] = 100 * low, 100 * high
    return frame[list(COLUMNS)]
