"""Published tables of planned comparisons, typed by hand, for the tests of report and charts. All of it is invented."""

import pandas

QUESTION = {"question": "hooked_swan", "asks": "A hooked swan: take it out early, or watch?"}
NAMED = {"question": QUESTION["question"]}
CONTRAST = QUESTION | {"strategy": "watch_9_days", "reference": "take_out_in_2_days"}
TOO_FEW = {"verdict": "too few to tell", "certainty": "", "reasons": "events 4 of 10 needed"}


def effect(measure, figures=None, effect_by="all", group="all", label="all", **said):
    """One row of public.effects; figures are difference, low and high."""
    numbers = dict(zip(("difference", "low", "high"), figures or (None, None, None), strict=True))
    said = {"verdict": "more", "certainty": "low", "reasons": "fewer than five clinics"} | said
    return CONTRAST | {"measure": measure, "effect_by": effect_by, "group_code": group, "group_label": label} | (
        {"horizon_days": 60, "eligible": 140, "e_value": 1.7 if figures else None} | numbers | said
    )  # fmt: skip


def effects():
    """Release told in all swans and in one body site, death too few to tell."""
    rows = [
        effect("released", (12.4, 1.6, 24.2)),
        effect("died_or_euthanased", **TOO_FEW),
        effect("released", (20.1, 3.0, 35.0), "body_site", "mouth", "Mouth"),
        effect("released", None, "body_site", "wing", "Wing", **TOO_FEW),
        effect("days_free", (3.1, 0.2, 6.0), verdict="", certainty="", reasons=""),
    ]
    return pandas.DataFrame(rows).astype(dict.fromkeys(["difference", "low", "high", "e_value"], float))


def effect_tables():
    """Every published table of planned comparisons."""
    planned = {"planned": pandas.Timestamp("2018-11-20"), "reason": "Clinics disagree.", "horizon_days": 60}
    planned |= {"animals": "Injury: embedded", "strategies": "take out in 2 days: early; watch 9 days: late"}
    lines = [
        NAMED
        | {"strategy": strategy, "is_reference": place == 0, "ending": ending, "day": day, "incidence": share}
        for place, strategy in enumerate(("take_out_in_2_days", "watch_9_days"))
        for ending, last in (("released", 60.0 + 12 * place), ("died", 9.0), ("euthanased", 6.0))
        for day, share in ((0, 0.0), (7, last / 2), (60, last))
    ]
    methods = [
        ("Emulated trial", "released", -12.4, -24.2, -1.6, "as planned"),
        ("Ever treated against never, from admission", "released", 30.0, 20.0, 41.0, "biased"),
        (
            "Cox, ever treated as if known on day 0",
            "hazard ratio of death or euthanasia",
            0.25,
            0.125,
            0.5,
            "biased",
        ),
    ]
    names = ["method", "measure", "value", "low", "high", "kind"]
    supposed = {"measure": "released", "scenario": "open_died", "animals": 3, "difference": 9.0}
    between = {"effect_by": "body_site", "measure": "released", "difference": 15.2, "low": -2.0, "high": 31.0}
    between |= {"group_label": "Mouth", "compared_group_label": "Foot"} | NAMED
    between |= {"strategy": "watch_9_days", "reference": "take_out_in_2_days"}
    pointer = {"taxon_group_code": "all", "body_site_code": "all", "treatment_code": "surgery"}
    return {
        "effects": effects(),
        "effect_questions": pandas.DataFrame([QUESTION | planned]),
        "effect_curves": pandas.DataFrame(lines),
        "effect_bias": pandas.DataFrame([QUESTION | dict(zip(names, row, strict=True)) for row in methods]),
        "effect_sensitivity": pandas.DataFrame(
            [CONTRAST | supposed | {"scenario_label": "All without an ending died"}]
        ),
        "effect_interactions": pandas.DataFrame([between]),
        "effect_flow": pandas.DataFrame(
            [NAMED | {"step_number": 1, "step": "injury: embedded", "animals": 140}]
        ),
        "effect_balance": pandas.DataFrame(
            [
                NAMED
                | {
                    "strategy": "watch_9_days",
                    "covariate": "severity: mild",
                    "difference_before": 0.3,
                    "difference_after": -0.02,
                }
            ]
        ),
        "effect_pointers": pandas.DataFrame([QUESTION | pointer | {"injury_code": "ingested"}]),
    }
