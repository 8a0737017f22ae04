"""Small published tables of rates and their differences, typed by hand, invented."""

import pandas

GROUPS = [
    # grouping, group_code, group_label, counts of the headline: released, known, open
    ("all", "all", "all", 180, 240, 12),
    ("all_causes", "all_causes", "all_causes", 380, 560, 20),
    ("admission_year", "2022", "2022", 80, 110, 2),
    ("admission_year", "2023", "2023", 100, 130, 10),
    ("injury", "embedded", "Embedded", 110, 120, 2),
    ("injury", "ingested", "Swallowed", 60, 100, 6),
    ("injury", "constricting", "Constricting", 5, 8, 1),
    ("injury", "not_stated", "not_stated", 5, 12, 3),
    ("taxon_group", "pelican", "Pelican", 60, 80, 4),
    ("taxon_group", "swan", "Swan", 45, 62, 4),
    ("body_site", "wing", "Wing", 70, 90, 3),
    ("gear", "hook", "Hook", 90, 125, 5),
    ("severity", "critical", "Critical", 10, 40, 2),
    ("severity", "mild", "Mild", 90, 100, 2),
]


def rate(grouping, code, label, released, known, still_open, convention="resolved", is_shown=True):
    """One row of public.release_rates; the limits are plausible, not computed: the report only prints them."""
    has_percent = is_shown and known >= 10
    percent = 100 * released / known
    limits = {"wilson_low": percent - 6.25, "wilson_high": percent + 5.75, "exact_low": percent - 6.5}
    limits |= {"exact_high": percent + 6, "bound_low": percent - 4, "bound_high": percent + 3}
    figures = {"percent": percent} | limits
    counts = {"animals": known + still_open + 9, "numerator": released, "denominator": known}
    counts |= {"pending": still_open, "transferred": 0, "unknown": 0}
    return (
        {"grouping": grouping, "group_code": code, "group_label": label, "convention": convention}
        | {"convention_label": convention.capitalize(), "is_headline": convention == "resolved"}
        | {name: value if is_shown else None for name, value in counts.items()}
        | {name: round(value, 4) if has_percent else None for name, value in figures.items()}
        | {"note": None if has_percent else "too few for a percentage" if is_shown else "withheld: test"}
    )


def release_rates():
    """Headline rows of every group, one withheld, and two more conventions for each year."""
    rows = [rate(*group) for group in GROUPS]
    rows.append(rate("injury", "lead_poisoning", "Lead poisoning", 3, 11, 0, is_shown=False))
    for grouping, code, label, released, known, still_open in GROUPS[:4]:
        rows.append(rate(grouping, code, label, released, known + still_open + 9, 0, "crude"))
        rows.append(rate(grouping, code, label, released, known + still_open, 0, "alive_on_arrival"))
    return pandas.DataFrame(rows)


def shares():
    """Shares of gear, of animals and of injuries."""
    rows = []
    for level, axis, parts in [
        ("gear_item", "gear", [("hook", "Hook", 150), ("line", "Line", 90), ("net", "Net", 20)]),
        ("gear_item", "body_site", [("wing", "Wing", 200), ("not_stated", "not_stated", 60)]),
        ("animal", "taxon_group", [("pelican", "Pelican", 93), ("swan", "Swan", 75)]),
        ("animal", "injury", [("embedded", "Embedded", 131), ("ingested", "Swallowed", 115)]),
    ]:
        total = sum(count for _, _, count in parts)
        for code, label, count in parts:
            percent = 100 * count / total
            figures = {"percent": percent, "exact_low": percent - 4.5, "exact_high": percent + 4.25}
            names = {
                "level": level,
                "axis": axis,
                "code": code,
                "label": label,
                "count": count,
                "total": total,
            }
            rows.append(names | {name: round(value, 4) for name, value in figures.items()} | {"note": None})
    return pandas.DataFrame(rows)


def treated(injury, label, treatment, released, died, note=None):
    """One row of public.outcomes_by_treatment for all animals and sites."""
    known = released + died
    has_percent = note is None
    figures = {"percent_released": 100 * released / known, "wilson_low": 31.0, "wilson_high": 88.0}
    figures |= {"standardised": 64.0, "standardised_low": 29.0, "standardised_high": 86.0}
    figures |= {"exact_low": 30.0, "exact_high": 89.0, "release_by_horizon": 55.5, "release_low": 40.5}
    figures |= {"release_high": 70.5, "death_by_horizon": 20.25, "median_days": 12.5}
    counts = {"animals": known + 2, "released": released, "died": died, "euthanased": 0, "other_known": 0}
    return (
        {"injury_code": injury, "injury_label": label, "taxon_group_code": "all", "taxon_group_label": "All"}
        | {"body_site_code": "all", "body_site_label": "All"}
        | {"treatment_code": treatment, "treatment_label": treatment.capitalize()}
        | {name: value if note != "withheld: test" else None for name, value in counts.items()}
        | {"unresolved": 2, "horizon_days": 180, "note": note}
        | {name: value if has_percent else None for name, value in figures.items()}
    )


def outcomes_by_treatment():
    """Three rows: one with a rate, one with too few animals, one withheld."""
    return pandas.DataFrame(
        [
            treated("ingested", "Swallowed", "watched", 40, 20),
            treated("ingested", "Swallowed", "surgery", 3, 2, "too few for a percentage"),
            treated("embedded", "Embedded", "watched", 3, 1, "withheld: test"),
        ]
    )


def endings():
    """Two groups of a grouping, and all animals: lines with a tie on the last day."""
    rows = []
    for grouping, code, label, animals in [
        ("all", "all", "all", 252),
        ("injury", "embedded", "Embedded", 122),
        ("injury", "ingested", "Swallowed", 106),
    ]:
        for ending, steps in {"released": [(3, 10.5), (40, 70.25)], "died": [(0, 4.5), (40, 20.5)]}.items():
            for day, incidence in steps:
                row = {"grouping": grouping, "group_code": code, "group_label": label, "ending": ending}
                limits = {"low": incidence - 2, "high": incidence + 3}
                rows.append(row | {"day": day, "incidence": incidence} | limits | {"at_risk": animals - day})
    return pandas.DataFrame(rows)


def pooled_rates():
    """Two groupings: one group that is shown, one of too few animals, one that was not shrunk."""
    frame = release_rates()
    frame = frame[frame["is_headline"] & frame["grouping"].isin(["injury", "taxon_group", "all"])]
    has = frame["percent"].notna()
    figures = {
        "clustered_low": -12.0,
        "clustered_high": 9.0,
        "shrunken": -1.5,
        "shrunken_low": -7.0,
        "shrunken_high": 4.0,
    }
    columns = {name: (frame["percent"] + shift).where(has) for name, shift in figures.items()}
    columns |= {
        "difference": 4.5,
        "difference_low": -3.25,
        "difference_high": 12.0,
        "ratio": 1.06,
        "ratio_low": 0.95,
    }
    columns |= {
        "clustered_difference_low": -9.0,
        "clustered_difference_high": 18.0,
        "ratio_high": 1.19,
        "clinics": 5,
    }
    names = ["grouping", "group_code", "group_label", "numerator", "denominator", "percent", "note"]
    return frame[names].assign(
        **columns, degrees_of_freedom=3.5, clustered_reason=None, shrunken_reason=None, difference_reason=None
    )


def years_compared():
    """Two years that are over, looked at six days after their end."""
    rows = [
        (
            2022,
            112,
            6,
            180,
            70.5,
            61.0,
            78.5,
            24.0,
            17.0,
            32.0,
            3,
            80,
            110,
            72.7,
            2,
            71.4,
            73.2,
            71.9,
            63.0,
            79.5,
        ),
        (
            2023,
            140,
            6,
            180,
            74.5,
            66.0,
            81.0,
            19.5,
            13.0,
            27.0,
            11,
            100,
            130,
            76.9,
            10,
            71.4,
            78.6,
            75.1,
            66.5,
            82.0,
        ),
    ]
    names = "admission_year animals lag_days horizon_days released_by_horizon released_low released_high"
    names += (
        " dead_by_horizon dead_low dead_high open_at_lag numerator denominator percent unresolved bound_low"
    )
    names += " bound_high standardised"
    frame = pandas.DataFrame(rows, columns=[*names.split(), "standardised_low", "standardised_high"])
    return frame.assign(standardised_limits="clinics", standardised_reason=None, note=None)


def clinic_funnel():
    """Three clinics: one below the limits; the limits are plausible, not computed."""
    rows = [("A", 90, 70, 68.5, 1.02), ("B", 40, 31, 30.0, 1.03), ("C", 20, 7, 14.5, 0.48)]
    frame = pandas.DataFrame(rows, columns=["clinic_letter", "resolved", "observed", "expected", "ratio"])
    limits = {"low_95": 0.7, "high_95": 1.3, "low_998": 0.55, "high_998": 1.45}
    return frame.assign(**limits, position=["within the limits"] * 2 + ["beyond the 99.8 % limits"])


def rate_tables():
    """The tables by their names."""
    return {
        "release_rates": release_rates(),
        "shares": shares(),
        "outcomes_by_treatment": outcomes_by_treatment(),
        "endings": endings(),
        "pooled_rates": pooled_rates(),
        "clinic_funnel": clinic_funnel(),
        "years_compared": years_compared(),
    }
