"""Which published group is most like an animal: the nearest rank that asks for nothing but what is known of it."""

import csv
from dataclasses import dataclass
from pathlib import Path

import duckdb

from unsnag import resources
from unsnag.databases import reading
from unsnag.errors import Problem

AXES = ("injury", "body_site", "taxon_group", "severity")
TREATED_AXES = AXES[:3]
LIKE = " and ".join(f"{axis}_code in ('all', ${axis})" for axis in AXES)
GROUP = f"select * from public.animals_like_this where {LIKE} order by rank limit 1"
DAYS = (
    "select day, released, released_low, released_high, dead, dead_low, dead_high "
    "from public.animals_like_this_days where rank = $rank and "
    + " and ".join(f"{axis}_code = ${axis}" for axis in AXES)
    + " order by day"
)
# Groups of treated animals share injury, body site and kind of animal, never severity, to which they are standardised.
TREATED = """
with alike as (
    select *, bool_or(percent_released is not null) over (partition by taxon_group_code, body_site_code) as is_told
    from public.outcomes_by_treatment
    where injury_code = $injury and taxon_group_code in ('all', $taxon_group) and body_site_code in ('all', $body_site)
)
select * exclude (is_told) from alike where is_told order by animals desc nulls last, treatment_code
"""


@dataclass(frozen=True)
class Likeness:
    """What is published of animals like one.

    group   : the row of public.animals_like_this, by column
    days    : rows of public.animals_like_this_days, by column
    treated : rows of public.outcomes_by_treatment, by column; of a group as near as one is told
    dropped : axes that were asked for and had to be left open in the group
    """

    group: dict
    days: list[dict]
    treated: list[dict]
    dropped: tuple[str, ...]


def likeness(public: Path, asked: dict[str, str]) -> Likeness:
    """The nearest published group of an animal, and what was done to the nearest group of treated ones.

    asked : axis of AXES → shared code, of what is known of the animal
    Raises  Problem: no group at all is large enough to be told
    """
    known = {axis: asked.get(axis, "all") for axis in AXES}
    with reading(public) as connection:
        found = _rows(connection, GROUP, known)
        if not found:
            raise Problem(
                "animals like this", "no group of animals is large enough to be told", "Wait for more cases"
            )
        (group,) = found
        codes = {axis: group[f"{axis}_code"] for axis in AXES}
        days = _rows(connection, DAYS, codes | {"rank": group["rank"]})
        treated = nearest(_rows(connection, TREATED, {axis: known[axis] for axis in TREATED_AXES}))
    dropped = tuple(axis for axis in AXES if known[axis] != codes[axis])
    return Likeness(group, days, treated, dropped)


def nearest(treated: list[dict]) -> list[dict]:
    """Of the treatments of several groups, those of the group of the lowest rank in like_order.csv."""
    ranks = {
        tuple(row[axis] == "yes" for axis in TREATED_AXES): int(row["rank"])
        for row in order()
        if row["severity"] == "no"
    }
    found = [ranks[tuple(row[f"{axis}_code"] != "all" for axis in TREATED_AXES)] for row in treated]
    return [row for row, rank in zip(treated, found, strict=True) if rank == min(found)]


def order() -> list[dict[str, str]]:
    """The ranks of likeness and what each asks for, the nearest first."""
    path = resources.folder("sql") / "codes" / "like_order.csv"
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def _rows(connection: duckdb.DuckDBPyConnection, sql: str, parameters: dict) -> list[dict]:
    answer = connection.execute(sql, parameters)
    names = [column[0] for column in answer.description]
    return [dict(zip(names, row, strict=True)) for row in answer.fetchall()]
