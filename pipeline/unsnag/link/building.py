"""Run the link room: SQL finds possible pairs, Splink weighs them, a one-to-one choice joins them, SQL makes cases."""

from collections.abc import Callable
from operator import itemgetter
from pathlib import Path

import duckdb

from unsnag import models
from unsnag.errors import Problem
from unsnag.link import scoring, weights
from unsnag.link.checking import decision_problems
from unsnag.link.choosing import DECIDED, STATED, WEIGHED, Grey, Link, Pair, Stay, choose

# Tables that Python makes in this room, in order; a SQL file that names one in its header waits for it.
SCORED, CHOSEN = ("link.scored_pairs", "link.scored_fields"), ("link.chosen_pairs", "link.grey_pairs")
PAIR_COLUMNS = "kind varchar, earlier_stay_id varchar, later_stay_id varchar, "
TABLES = {
    "link.chosen_pairs": PAIR_COLUMNS
    + "basis varchar, weight double, margin double, named_earlier_id varchar, named_later_id varchar",
    "link.grey_pairs": PAIR_COLUMNS + "weight double, margin double, why varchar, would_join boolean",
}
COMMENTS = {
    "link.scored_pairs": "One row per possible pair that is not hopeless, as Splink weighed it.",
    "link.scored_fields": "One row per scored pair and field: the level on which the stays agree.",
    "link.chosen_pairs": "One row per accepted pair: on what basis, and how far the next best arrangement was behind.",
    "link.grey_pairs": "One row per pair that a person should decide: unsnag links shows both sides.",
}
DAYS = "coalesce(date_diff('day', before.outcome_date, after.admission_date), 0)"
SIDES = """inner join link.compared_stays as before on pairs.earlier_stay_id = before.stay_id
    inner join link.compared_stays as after on pairs.later_stay_id = after.stay_id"""


def build(
    connection: duckdb.DuckDBPyConnection,
    parameters: dict,
    tell: Callable[[str], None],
    decisions: Path,
    is_past: bool = False,
) -> list[Problem]:
    """Make every table of link.*.

    decisions : the file of the steward's decisions, which the problems name
    is_past   : whether the run speaks of a day gone by
    Returns     what is wrong with the decisions, as far as only the records can tell
    """
    before, between, after = _phases(models.find(["3_link"]))
    models.build(connection, before, parameters, tell)
    tell("weighing pairs")
    scoring.score(connection)
    models.build(connection, between, parameters, tell)
    tell("joining stays")
    refused = _choose(connection)
    for table, words in COMMENTS.items():
        connection.execute(f"comment on table {table} is {models.literal(words)}")
    models.build(connection, after, parameters, tell)
    return decision_problems(connection, decisions, refused, is_past)


def _phases(found: list[models.Model]) -> list[list[models.Model]]:
    """The models that need no table of Python's, those that need Splink's weights, those that need the choice."""
    phase_of = dict.fromkeys(SCORED, 1) | dict.fromkeys(CHOSEN, 2)
    phases = [[], [], []]
    for model in found:
        phase_of[model.name] = max((phase_of.get(origin, 0) for origin in model.origins), default=0)
        phases[phase_of[model.name]].append(model)
    return phases


def _choose(connection) -> list[Pair]:
    """Write link.chosen_pairs and link.grey_pairs. Returns  decided pairs that could not be obeyed."""
    rows = connection.execute("select stay_id, band, incident_id from link.compared_stays").fetchall()
    stays = {stay_id: Stay(band, incident) for stay_id, band, incident in rows}
    decided, apart = _decided(connection)
    pairs = [*decided, *_stated(connection), *_weighed(connection)]
    links, grey, refused = choose(pairs, stays, apart, {kind: weights.limits(kind) for kind in weights.KINDS})
    _write(connection, "link.chosen_pairs", map(_link_row, links))
    _write(connection, "link.grey_pairs", map(_grey_row, grey))
    return refused


def _decided(connection) -> tuple[list[Pair], set[frozenset[str]]]:
    rows = connection.execute(
        f"""select pairs.kind, pairs.earlier_stay_id, pairs.later_stay_id, null, {DAYS},
            before.animal_number = after.animal_number
        from link.decided_pairs as pairs {SIDES} where pairs.kind in ('hand_over', 'second_entry')"""
    ).fetchall()
    apart = connection.execute(
        "select first_stay_id, second_stay_id from clinic.link_decisions where decision = 'different'"
    ).fetchall()
    return [_pair(row, DECIDED) for row in rows], {frozenset(pair) for pair in apart}


def _stated(connection) -> list[Pair]:
    rows = connection.execute(
        f"""select pairs.kind, pairs.earlier_stay_id, pairs.later_stay_id, null, {DAYS},
            before.animal_number = after.animal_number
        from link.stated_pairs as pairs {SIDES}"""
    ).fetchall()
    return [_pair(row, STATED) for row in rows]


def _weighed(connection) -> list[Pair]:
    rows = connection.execute(
        f"""select pairs.kind, pairs.earlier_stay_id, pairs.later_stay_id, pairs.weight, {DAYS},
            before.animal_number = after.animal_number
        from link.candidate_pairs as pairs {SIDES}"""
    ).fetchall()
    return [_pair(row, WEIGHED) for row in rows]


def _pair(row: tuple, basis: str) -> Pair:
    kind, *rest = row
    return Pair(kind, basis, *rest)


def _link_row(link: Link) -> tuple:
    pair = link.pair
    return pair.kind, link.earlier, link.later, pair.basis, pair.weight, link.margin, pair.earlier, pair.later


def _grey_row(grey: Grey) -> tuple:
    pair = grey.pair
    return pair.kind, pair.earlier, pair.later, pair.weight, grey.margin, grey.why, grey.would_join


def _write(connection, table: str, rows) -> None:
    connection.execute(f"create or replace table {table} ({TABLES[table]})")
    rows = sorted(rows, key=itemgetter(0, 1, 2))
    if rows:
        columns = [list(column) for column in zip(*rows, strict=True)]
        connection.execute(
            f"insert into {table} select {', '.join(f'unnest(${n + 1})' for n in range(len(columns)))}",
            columns,
        )
