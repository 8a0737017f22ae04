"""Small published tables of joined stays, typed by hand for the tests of the report. All of it is invented."""

import pandas

WAYS = [
    ("as_counted", "as counted in this report", 290, 210, 3, 180, 126, 70.0, 62.9, 76.2),
    ("none_joined", "no stays joined: each record an animal", 300, 216, 12, 182, 127, 69.8, 62.8, 76.0),
]
EVIDENCE = [
    ("hand_over", "handed over between clinics", "stated", "joined: stated by the clinics' own numbers", 7),
    ("second_entry", "typed twice in one clinic", "weighed", "joined: alike enough, with no rival", 3),
]


def link_tables():
    """link_influence and link_evidence."""
    ways = ["scenario", "scenario_label", "cases", "tackle_cases", "transferred", "denominator", "numerator"]
    evidence = ["kind", "kind_label", "basis", "basis_label", "pairs"]
    return {
        "link_influence": pandas.DataFrame(WAYS, columns=[*ways, "percent", "wilson_low", "wilson_high"]),
        "link_evidence": pandas.DataFrame(EVIDENCE, columns=evidence),
    }
