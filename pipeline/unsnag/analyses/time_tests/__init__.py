"""Groups compared in time, for a reader of methods: days lost to each ending, tests of incidence, hazard ratios."""

from unsnag.analyses.time_tests import gray_tests, hazard_ratios, mean_time

TITLE = "Groups compared in time"
QUESTION = "Do groups of animals differ in how and when they end, and by how much?"
CAUTION = (
    "Groups are what was there at admission. A difference between them says nothing of its cause, and of many tests "
    "some look striking by chance: the adjusted p allows for all tests of the table."
)
TABLES = {
    "time_lost": mean_time.COLUMNS,
    "gray_tests": gray_tests.COLUMNS,
    "hazard_ratios": hazard_ratios.COLUMNS,
}


def compute(mart):
    """The three tables by name."""
    return {
        "time_lost": mean_time.compute(mart),
        "gray_tests": gray_tests.compute(mart),
        "hazard_ratios": hazard_ratios.compute(mart),
    }
