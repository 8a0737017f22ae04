"""Propose weights from a network's own pairs; a person accepts them into sql/codes/link_weights.csv, no run does.

m is counted in pairs that the clinics' numbers or bands make one animal: what states them is no compared field.
u is counted in the possible pairs that were not joined. Both are pulled towards what is stated, as if that rested on
PSEUDO_PAIRS pairs, so that a network of thirty rows proposes nothing rash. Counts need no chance and no seed.
"""

import csv
import io
from dataclasses import astuple, dataclass, replace

import duckdb

from unsnag.link import scoring, weights
from unsnag.link.weights import Level

PSEUDO_PAIRS = 50
LEAST_PAIRS = 20
WORTH_TELLING = 0.5  # log2: a change of weight below it would alter hardly any link


@dataclass(frozen=True)
class Proposed:
    """A level whose m or u the network's own pairs would change, and on how many pairs that rests."""

    level: Level
    m: float
    u: float
    of_one_animal: int
    of_two_animals: int

    @property
    def row(self) -> str:
        """The row of sql/codes/link_weights.csv."""
        pairs = f"{self.of_one_animal} pairs of one animal, {self.of_two_animals} of two"
        reason = f"{self.level.reason}; counted in {pairs}"
        accepted = replace(self.level, m=round(self.m, 3), u=round(self.u, 3), reason=reason)
        text = io.StringIO()
        csv.writer(text, lineterminator="").writerow(astuple(accepted))
        return text.getvalue()


def propose(connection: duckdb.DuckDBPyConnection) -> list[Proposed]:
    """The levels whose weight would change noticeably, in the order of the file.

    connection : a store, on one thread, attached as pooled
    """
    return [each for kind in weights.KINDS for each in _propose_kind(connection, kind)]


def _propose_kind(connection, kind: str) -> list[Proposed]:
    if not connection.execute("select count(*) from link.possible_pairs where kind = ?", [kind]).fetchone()[
        0
    ]:
        return []
    beside = connection.cursor()
    try:
        counts = _counts(beside, kind)
    finally:
        beside.close()
    return [each for levels in weights.fields(kind).values() for each in _propose_field(levels, counts)]


def _propose_field(levels: list[Level], counts: dict[tuple[str, str], tuple[int, int]]) -> list[Proposed]:
    """All levels of a field, whose m and u add up to one, or none if none would change noticeably."""
    stated = [level for level in levels if level.m is not None]
    found = [counts.get((level.field, level.level), (0, 0)) for level in stated]
    ones, twos = (sum(side) for side in zip(*found, strict=True))
    if min(ones, twos) < LEAST_PAIRS:
        return []
    proposed = [
        Proposed(
            level,
            (of_one + PSEUDO_PAIRS * level.m) / (ones + PSEUDO_PAIRS),
            (of_two + PSEUDO_PAIRS * level.u) / (twos + PSEUDO_PAIRS),
            of_one,
            of_two,
        )
        for level, (of_one, of_two) in zip(stated, found, strict=True)
    ]
    changes = (replace(each.level, m=each.m, u=each.u).weight - each.level.weight for each in proposed)
    return proposed if max(map(abs, changes)) >= WORTH_TELLING else []


def _counts(beside, kind: str) -> dict[tuple[str, str], tuple[int, int]]:
    """(field, level) → how many pairs of one animal, of two animals agree so."""
    predicted = scoring.predict(beside, kind, None)
    scoring.write_levels(beside, kind)
    rows = beside.execute(
        f"""with judged as (
            select scored.* exclude (match_weight, match_probability, match_key), stated.reason is not null as is_one
            from {predicted} as scored
            inner join pooled.link.compared_stays as before on scored.compared_number_l = before.compared_number
            inner join pooled.link.compared_stays as after on scored.compared_number_r = after.compared_number
            left join pooled.link.stated_pairs as stated
                on stated.kind = $kind and before.stay_id = stated.earlier_stay_id
                and after.stay_id = stated.later_stay_id
            left join pooled.link.links as links
                on links.kind = $kind and before.stay_id = links.earlier_stay_id
                and after.stay_id = links.later_stay_id
            where stated.reason is not null or links.reason is null
        )

        select field, level, count(*) filter (where is_one), count(*) filter (where not is_one)
        from (
            unpivot (select is_one, columns('^gamma_(.*)$') as '\\1' from judged)
            on columns(* exclude (is_one)) into name field value gamma
        ) inner join stated_levels using (field, gamma)
        group by field, level order by field, level""",
        {"kind": kind},
    ).fetchall()
    return {(field, level): (of_one, of_two) for field, level, of_one, of_two in rows}
