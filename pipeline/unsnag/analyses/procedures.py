"""How often attempts at removal succeed, what follows a failure, and how soon the gear is out."""

import pandas as pd

from unsnag.stats.bounds import unresolved_bounds
from unsnag.stats.proportions import clopper_pearson
from unsnag.stats.quantiles import quartiles

TITLE = "Procedures: success, failure and what followed"
QUESTION = "How often does an attempt at removal succeed, what goes wrong, and what follows a failure?"
CAUTION = (
    "A method is chosen for the hook and the animal at hand: these shares describe what was done, they do not say "
    "which method would do better on the same hook."
)
TABLES = {
    "procedures": {
        "measure": "what is asked: a measure of procedure_measures.csv, which says what is counted",
        "axis": "all, treatment or procedure",
        "code": "the kind: 'all', a code of treatment.csv or of procedure.csv",
        "answer": "the answer: a shared code",
        "count": "how many have this answer",
        "total": "of how many with a stated answer",
        "not_stated": "how many more without a stated answer",
        "clinics": "clinics that they came to",
        "percent": "count in percent of total",
        "exact_low": "lower 95 % limit, exact (Clopper-Pearson), percent",
        "exact_high": "upper 95 % limit, exact (Clopper-Pearson), percent",
        "bound_low": "percent if none without a stated answer had this one",
        "bound_high": "percent if all without a stated answer had this one",
    },
    "removal_days": {
        "axis": "all, treatment or procedure",
        "code": "the kind of the first successful attempt: 'all', a code of treatment.csv or of procedure.csv",
        "animals": "animals whose gear was got out by it, with a known day",
        "clinics": "clinics that they came to",
        "median_days": "median days from first admission to removal",
        "quartile_low": "first quartile, days",
        "quartile_high": "third quartile, days",
    },
}
ANSWERS = """
with kinds as (
    select
        measure, axis, code,
        coalesce(sum(count) filter (where answer <> 'not_stated'), 0)::bigint as total,
        coalesce(sum(count) filter (where answer = 'not_stated'), 0)::bigint as not_stated,
        count(distinct clinic) as clinics
    from mart.procedure_answers
    group by all
),
answers as (
    select measure, answer from mart.procedure_answers where answer <> 'not_stated'
    union
    select measure, chief_answer from codes.procedure_measures
)
select kinds.*, answers.answer, coalesce(sum(told.count), 0)::bigint as count
from kinds
inner join answers using (measure)
left join mart.procedure_answers as told using (measure, axis, code, answer)
group by all
order by measure, axis, code, answer
"""
REMOVALS = """
select axis, code, days, count(*) as animals, list(distinct clinic) as clinics
from (
    select
        procedure_days as days, case_clinic as clinic,
        unnest([
            struct_pack(axis := 'all', code := 'all'),
            struct_pack(axis := 'treatment', code := treatment_code),
            struct_pack(axis := 'procedure', code := procedure_code)
        ], recursive := true)
    from mart.removal_attempts
    where is_removal and procedure_days >= 0
)
group by all
order by axis, code, days
"""


def compute(mart):
    """Both tables: one row per measure, kind and answer; one row per kind of removal."""
    return {"procedures": shares(mart.frame(ANSWERS)), "removal_days": removal_days(mart.frame(REMOVALS))}


def shares(frame):
    """Percentages with exact limits, and the bounds that the unstated answers leave.

    frame : measure, axis, code, answer, count, total, not_stated and clinics
    """
    count, total = frame["count"].to_numpy(), frame["total"].to_numpy()
    rate, low, high = unresolved_bounds(count, total, frame["not_stated"].to_numpy())
    exact = clopper_pearson(count, total)
    named = zip(
        ("percent", "exact_low", "exact_high", "bound_low", "bound_high"),
        (rate, *exact, low, high),
        strict=True,
    )
    return frame.assign(**{name: 100 * values for name, values in named})[list(TABLES["procedures"])]


def removal_days(frame):
    """Quartiles of the days to removal.

    frame : axis, code, days, animals, and the list of clinics
    """
    rows = []
    for (axis, code), group in frame.groupby(["axis", "code"], sort=True):
        low, median, high = quartiles(group["days"], group["animals"])
        clinics = len(set().union(*group["clinics"]))
        rows.append((axis, code, group["animals"].sum(), clinics, median, low, high))
    return pd.DataFrame(rows, columns=list(TABLES["removal_days"]))
