"""Who a planned comparison is about: eligibility step by step, then the frames that stats/emulation takes."""

from dataclasses import dataclass

import pandas as pd

CASES = 'select * from mart.trial_cases order by "case"'
EVENTS = 'select "case", day, event, procedure_code from mart.trial_events order by all'
MEMBERS = "select case_id from mart.cohort_cases where cohort = $cohort"
DAILY = ("worse", "position")


@dataclass(frozen=True)
class Selected:
    """cases, events: frames of stats/emulation; flow: list of (step, animals)."""

    cases: pd.DataFrame
    events: pd.DataFrame
    flow: list


def select(mart, question):
    """Apply a question's eligibility to the tackle cases that were alive on arrival."""
    cases = mart.frame(CASES)
    flow = [("tackle cases alive on arrival", len(cases))]
    if question.cohort:
        cases = cases[cases["case"].isin(mart.frame(MEMBERS, cohort=question.cohort)["case_id"])]
        flow.append((f"cohort: {question.cohort.replace('_', ' ')}", len(cases)))
    for feature, allowed in question.population.items():
        if feature != "arrival":
            cases = cases[cases[feature].isin(allowed)]
            flow.append((f"{feature.replace('_', ' ')}: {', '.join(allowed)}", len(cases)))
    cases = cases[cases["stay_days"].notna()]
    flow.append(("day of the ending or of last sight known", len(cases)))
    undated = cases["undated_procedures"].map(lambda codes: bool(set(codes) & set(question.intervention)))
    cases = cases[~undated]
    flow.append(("every intervention dated", len(cases)))
    return Selected(cases.reset_index(drop=True), _events(mart, question), flow)


def _events(mart, question):
    """Of the procedures only those that count as intervening in this question; endings and findings all."""
    events = mart.frame(EVENTS)
    is_attempt = events["event"].str.startswith("retrieval_")
    kept = ~is_attempt | events["procedure_code"].isin(question.intervention)
    return events.loc[kept, ["case", "day", "event"]]


def confounders(question, cases):
    """Baseline covariates that vary among the eligible, and the clinic; daily findings join by themselves."""
    named = [name for name in question.confounders if name not in DAILY]
    return tuple(name for name in (*named, "clinic") if cases[name].nunique() > 1)
