"""The cases of a cohort, out of public.* alone: one query, whoever asks for it."""

from pathlib import Path

import pandas as pd
from rapidfuzz import process

from unsnag.databases import reading
from unsnag.errors import Problem
from unsnag.models import literal

ALL, ALL_TITLE = "all_cases", "All cases, whatever the cause"
TACKLE, TACKLE_TITLE = "tackle_cases", "All animals injured by fishing tackle"
RESERVED = {ALL: ALL_TITLE, TACKLE: TACKLE_TITLE}


def titles(public: Path) -> dict[str, str]:
    """Cohort → what it is in words: the two that every network has, and those of its cohorts.toml."""
    with reading(public) as connection:
        rows = connection.execute("select cohort, title from public.cohorts order by cohort").fetchall()
    return RESERVED | dict(rows)


def query_of(public: Path, cohort: str) -> str:
    """The SELECT that gives the cases of a cohort.

    Raises  Problem: there is no such cohort, with the nearest name
    """
    known = titles(public)
    if cohort not in known:
        nearest = process.extractOne(cohort, list(known), score_cutoff=60)
        remedy = f"Did you mean '{nearest[0]}'?" if nearest else f"The cohorts are: {', '.join(known)}"
        raise Problem("cohorts.toml", f"there is no cohort '{cohort}'", remedy)
    select = ["select cases.*", "from public.cases as cases"]
    if cohort == TACKLE:
        select.append("where cases.is_tackle")
    elif cohort != ALL:
        select += [
            "inner join public.cohort_cases as members on cases.case_id = members.case_id",
            f"where members.cohort = {literal(cohort)}",
        ]
    return "\n".join([f"-- {known[cohort]}.", *select, "order by cases.case_id", ""])


def cases_of(public: Path, cohort: str) -> pd.DataFrame:
    """The rows of public.cases that belong to a cohort, by case_id; whole numbers stay whole beside empty cells."""
    with reading(public) as connection:
        relation = connection.sql(query_of(public, cohort))
        kinds = {
            name: PANDAS.get(str(kind), "object")
            for name, kind in zip(relation.columns, relation.types, strict=True)
        }
        return relation.df().astype(kinds)


PANDAS = {
    "VARCHAR": "string",
    "BIGINT": "Int64",
    "INTEGER": "Int64",
    "DOUBLE": "float64",
    "BOOLEAN": "boolean",
}


def flow_of(public: Path, cohort: str) -> list[tuple]:
    """(step, condition, animals left out, of these withheld, animals left) of a cohort.

    Nothing for the two that every network has.
    """
    with reading(public) as connection:
        return connection.execute(
            "select step, reason, animals_out, animals_withheld, animals_left from public.cohort_flow where cohort = ? "
            "order by step",
            [cohort],
        ).fetchall()
