"""What is wrong with decisions/links.csv in the light of the records: stays that are missing, pairs that cannot be."""

from collections.abc import Iterable
from pathlib import Path

import duckdb

from unsnag.errors import Problem
from unsnag.link.choosing import Pair

# That a clinic could not be read is no fault of the decision's; nor is, in an as-of run, that it had not sent yet what
# a decision without a day speaks of.
UNKNOWN = """
select decisions.line, named.stay_id, count(records.stay_id) as animals
from clinic.link_decisions as decisions
cross join lateral unnest([decisions.first_stay_id, decisions.second_stay_id]) as named(stay_id)
left join link.compared_stays as stays on named.stay_id = stays.stay_id
left join link.compared_stays as records on named.stay_id = records.incident_id
where stays.stay_id is null and not ($is_past and decisions.decided is null)
    and split_part(named.stay_id, ':', 1) not in (select clinic from clinic.missing)
    and split_part(named.stay_id, ':', 1) in (select clinic from clinic.clinics)
group by decisions.line, named.stay_id
order by decisions.line, named.stay_id"""
IMPOSSIBLE = """
select decisions.line, pairs.earlier_stay_id, pairs.later_stay_id, pairs.why_not
from link.decided_pairs as pairs
inner join clinic.link_decisions as decisions
    on least(pairs.earlier_stay_id, pairs.later_stay_id) = decisions.first_stay_id
    and greatest(pairs.earlier_stay_id, pairs.later_stay_id) = decisions.second_stay_id
where pairs.kind is null
order by decisions.line"""


def decision_problems(
    connection: duckdb.DuckDBPyConnection, path: Path, refused: Iterable[Pair], is_past: bool
) -> list[Problem]:
    """One problem for each decision that cannot be obeyed.

    refused : decided pairs that do not go together with other decisions
    is_past : whether the run speaks of a day gone by
    """
    unknown = connection.execute(UNKNOWN, {"is_past": is_past}).fetchall()
    impossible = connection.execute(IMPOSSIBLE).fetchall()
    return [
        *(_unknown(path, line, stay_id, animals) for line, stay_id, animals in unknown),
        *(
            Problem(
                f"{path}, line {line}",
                f"{first} and {second} cannot be one animal's: {why}",
                "Correct the row, or ask the clinic to correct the record",
            )
            for line, first, second, why in impossible
        ),
        *(_refused(path, pair) for pair in refused),
    ]


def _unknown(path: Path, line: int, stay_id: str, animals: int) -> Problem:
    where = f"{path}, line {line}"
    if animals:
        return Problem(
            where,
            f"{stay_id} stands for {animals} animals",
            "Name one of them by adding its number, such as /1",
        )
    return Problem(
        where, f"no export holds the stay {stay_id}", "Write the clinic and number as unsnag links does"
    )


def _refused(path: Path, pair: Pair) -> Problem:
    return Problem(
        str(path),
        f"{pair.earlier} and {pair.later} are called the same, but one of them is joined to another stay of that time "
        "by other rows: an animal is at one clinic at a time",
        "Keep the row that is right",
    )
