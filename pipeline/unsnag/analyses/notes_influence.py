"""What was read in texts: how many cases owe something to it, and how far it moves counts and release rates."""

import numpy as np

TITLE = "What texts add"
QUESTION = (
    "How do the number of tackle cases and their release rate move with what was read in the clinics' texts?"
)
CAUTION = (
    "Texts fill only what columns leave empty, and rules read them: some are read wrongly, more are read in part. "
    "A figure that moves much rests on them."
)
COLUMNS = {
    "grouping": "the baseline feature by which cases are grouped; 'all' is every tackle case",
    "group_code": "the shared code of the group",
    "animals_with": "tackle cases of the group, texts read",
    "animals_without": "tackle cases of the group by columns alone",
    "owing": "cases of the group of which anything (tackle, procedure, finding, ending) was read in a text",
    "resolved_with": "live admissions of the group whose case is resolved, texts read",
    "resolved_without": "live admissions of the group whose case is resolved, by columns alone",
    "released_with": "of them released, texts read",
    "released_without": "of them released, by columns alone",
    "percent_with": "released in percent of resolved, texts read",
    "percent_without": "released in percent of resolved, by columns alone",
    "points_moved": "percent_with less percent_without, percentage points",
}
COUNTS = """
select
    grouping, group_code, sum(animals_with)::bigint as animals_with, sum(animals_without)::bigint as animals_without,
    sum(owing)::bigint as owing,
    sum(resolved_with)::bigint as resolved_with, sum(resolved_without)::bigint as resolved_without,
    sum(released_with)::bigint as released_with, sum(released_without)::bigint as released_without
from mart.notes_cells
group by grouping, group_code
order by grouping, group_code
"""


def compute(mart):
    """One row per grouping and group: counts and release rate with and without what was read in texts."""
    frame = mart.frame(COUNTS)
    for version in ("with", "without"):
        released, resolved = (frame[f"{what}_{version}"].to_numpy(float) for what in ("released", "resolved"))
        with np.errstate(invalid="ignore", divide="ignore"):
            frame[f"percent_{version}"] = 100 * released / resolved
    frame["points_moved"] = frame["percent_with"] - frame["percent_without"]
    return frame[list(COLUMNS)]
