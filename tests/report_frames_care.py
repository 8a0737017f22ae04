"""Small published tables on care and what follows it, typed by hand for the tests of the report. All invented."""

import pandas

DAYS = {0: "Day 0, seen in place", 14: "Day 14, unmoved on the latest two films"}
EVENTS = {
    "passed": ("Passed by itself", 22.5),
    "attempt": ("Retrieval", 47.5),
    "dead": ("Died or euthanased", 7.5),
    "left_care": ("Left care, not seen to pass", 0.0),
    "still_there": ("Still under watch", 22.5),
}


def _watched(day, horizon, event, taxon=("all", "All animals"), site=("all", "All sites"), note=None):
    label, chance = EVENTS[event]
    figures = {
        "count": 9,
        "chance": chance,
        "low": chance * 0.5,
        "high": chance * 1.5,
        "chance_if_early": chance + 3,
    }
    return (
        {"landmark_days": day, "landmark_label": DAYS[day]}
        | {"taxon_group_code": taxon[0], "taxon_group_label": taxon[1]}
        | {"body_site_code": site[0], "body_site_label": site[1]}
        | {"event": event, "event_label": label, "horizon_days": horizon}
        | {"animals": 40 if note is None else None, "note": note}
        | {name: value if note is None else None for name, value in figures.items()}
    )


def look_ahead():
    """Hooks under watch on two days, three horizons; one group with figures, one withheld."""
    rows = [_watched(day, horizon, event) for day in DAYS for horizon in (7, 14, 28) for event in EVENTS]
    rows.append(_watched(14, 28, "passed", taxon=("sea_turtle", "Sea turtle")))
    rows.append(_watched(14, 28, "passed", site=("stomach", "Stomach"), note="withheld: test"))
    return pandas.DataFrame(rows)


def _answer(measure, axis, code, label, answer, count, total, note=None):
    percent = 100 * count / total
    figures = {"percent": percent, "exact_low": percent * 0.75, "exact_high": percent * 1.0625}
    figures |= {"bound_low": percent * 0.875, "bound_high": percent}
    return (
        {
            "measure": measure,
            "measure_label": measure.capitalize(),
            "counts": "animals",
            "axis": axis,
            "code": code,
        }
        | {
            "label": label,
            "answer": answer,
            "answer_label": answer.capitalize(),
            "count": count,
            "total": total,
        }
        | {"not_stated": 6, "note": note}
        | {name: value if note is None else None for name, value in figures.items()}
    )


def procedures():
    """Attempts at removal: results, what followed, complications, gear."""
    scope, scope_label = "endoscopic_retrieval", "Endoscopic retrieval"
    rows = [
        _answer("first_attempt", "treatment", scope, scope_label, "success", 30, 40),
        _answer(
            "first_attempt", "treatment", "surgery", "Surgery", "success", 5, 8, "too few for a percentage"
        ),
        _answer("attempt", "procedure", scope, scope_label, "success", 33, 44),
        _answer("after_failure", "treatment", scope, scope_label, "surgery", 8, 10),
        _answer("after_failure", "treatment", scope, scope_label, "died", 2, 10),
        _answer("complication", "all", "all", "All kinds", "nothing", 90, 100),
        _answer("complication", "all", "all", "All kinds", "infection", 10, 100),
        _answer("gear_item", "all", "all", "All kinds", "removed", 70, 80),
        _answer("at_release", "treatment", "watched", "Watched", "yes", 3, 30),
    ]
    return pandas.DataFrame(rows)


def _quartiles(low, median, high):
    return {"median_days": median, "quartile_low": low, "quartile_high": high, "note": None}


def removal_days():
    """Days to removal by treatment."""
    kind = {"axis": "treatment", "code": "surgery", "label": "Surgery"}
    return pandas.DataFrame([kind | {"animals": 25} | _quartiles(2, 4.5, 9)])


def milestones():
    """Two milestones: one with a window, one without an end."""
    told = {"operated": 30, "source": "common practice, no source"}
    sutures = {"milestone": "suture_removal", "label": "Sutures out", "animals": 18, "within": 17}
    sutures |= {"from_days": 39, "until_days": 45.0, "practice": "at about six weeks"} | _quartiles(
        41, 42, 43
    )
    release = {"milestone": "release", "label": "Released", "animals": 22, "within": 20, "from_days": 42}
    release |= {"until_days": None, "practice": "when self-feeding"} | _quartiles(49, 52.5, 56)
    return pandas.DataFrame([told | sutures, told | release])


def after_release():
    """Released animals met again, all and of one group."""
    rows = []
    for grouping, code, label, released in [("all", "all", "all", 180), ("taxon_group", "swan", "Swan", 45)]:
        for event, count in {"seen_again": 12, "readmitted": 5, "recovered_dead": 2}.items():
            group = {"grouping": grouping, "group_code": code, "group_label": label, "released": released}
            told = {"event": event, "event_label": event.replace("_", " ").capitalize(), "count": count}
            rows.append(group | told | _quartiles(20, 56.5, 140))
    return pandas.DataFrame(rows)


def time_lost():
    """Mean days of one group."""
    group = {
        "grouping": "injury",
        "grouping_label": "Injury",
        "group_code": "ingested",
        "group_label": "Swallowed",
    }
    group |= {"horizon_days": 180, "note": None}
    states = [("in_care", "In care", 20.5), ("released", "Released", 120.25), ("died", "Dead", 39.25)]
    return pandas.DataFrame(
        [
            group | {"state": state, "state_label": label, "days": days, "low": days - 2, "high": days + 2}
            for state, label, days in states
        ]
    )


def gray_tests():
    """Two tests, one of them striking."""
    columns = ["grouping", "grouping_label", "ending", "ending_label", "statistic", "p_value", "adjusted_p"]
    rows = [
        ("injury", "Injury", "released", "Released", 41.5, 0.00001, 0.00002),
        ("severity", "Severity", "died", "Died", 3.25, 0.197, 0.197),
    ]
    return pandas.DataFrame(rows, columns=columns).assign(degrees_of_freedom=2, tests=2, note=None)


def hazard_ratios():
    """One ratio."""
    row = {"ending": "released", "ending_label": "Released", "grouping": "injury", "grouping_label": "Injury"}
    row |= {"group_code": "embedded", "group_label": "Embedded", "reference": "ingested", "animals": 120}
    row |= {"reference_label": "Swallowed", "endings": 110, "hazard_ratio": 3.25, "low": 2.5, "high": 4.25}
    return pandas.DataFrame([row | {"proportional_p": 0.0625, "note": None}])


def care_tables():
    """Every table of this file by name."""
    makers = (
        look_ahead,
        procedures,
        removal_days,
        milestones,
        after_release,
        time_lost,
        gray_tests,
        hazard_ratios,
    )
    return {maker.__name__: maker() for maker in makers}
