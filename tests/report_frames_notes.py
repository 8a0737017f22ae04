"""Small published tables of what was read in texts, and of reporting items, typed by hand. All of it is invented."""

import pandas

INFLUENCE = [
    ("all", "all", "all", 210, 200, 40, 180, 171, 126, 119, 70.0, 69.6, 0.4, None),
    ("injury", "embedded", "Embedded", 131, 131, 12, 120, 120, 110, 110, 91.7, 91.7, 0.0, None),
]
ITEMS = [
    ("STROBE-Vet", "1", "the design", "In short", "said"),
    ("RECORD", "1.1", "the data", "In short", "said"),
]


def notes_tables():
    """notes_influence and reporting_items."""
    pairs = [f"{what}_{how}" for what in ("resolved", "released", "percent") for how in ("with", "without")]
    columns = ["grouping", "group_code", "group_label", "animals_with", "animals_without", "owing", *pairs]
    return {
        "notes_influence": pandas.DataFrame(INFLUENCE, columns=[*columns, "points_moved", "note"]),
        "reporting_items": pandas.DataFrame(
            ITEMS, columns=["guideline", "item", "asks", "answered_in", "how"]
        ),
    }
