"""Which published group is most like an animal: the nearest rank that asks for nothing but what is known of it."""

from dataclasses import dataclass
from pathlib import Path

import duckdb

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
# The nearest group of treated animals of which anything is told; a group is nearer the fewer axes it leaves open, and
# body site goes before kind of animal, as in the order of the groups.
TREATED = """
with alike as (
    select
        *,
        (taxon_group_code = 'all')::integer + (body_site_code = 'all')::integer as widened,
        taxon_group_code = 'all' as is_any_animal,
        bool_or(percent_released is not null) over (partition by taxon_group_code, body_site_code) as is_told
    from public.outcomes_by_treatment
    where injury_code = $injury and taxon_group_code in ('all', $taxon_group) and body_site_code in ('all', $body_site)
)
select * from alike
where is_told
qualify rank() over (order by widened, is_any_animal desc) = 1
order by animals desc nulls last, treatment_code
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
        treated = _rows(connection, TREATED, {axis: known[axis] for axis in TREATED_AXES})
    dropped = tuple(axis for axis in AXES if known[axis] != codes[axis])
    return Likeness(group, days, treated, dropped)


def _rows(connection: duckdb.DuckDBPyConnection, sql: str, parameters: dict) -> list[dict]:
    answer = connection.execute(sql, parameters)
    names = [column[0] for column in answer.description]
    return [dict(zip(names, row, strict=True)) for row in answer.fetchall()]
