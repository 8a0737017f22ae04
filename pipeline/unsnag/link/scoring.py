"""Weigh the possible pairs with Splink: link.possible_pairs → link.candidate_pairs and link.pair_evidence.

Splink works in the memory of a connection of its own beside the store, so that its tables, whose names are random,
never reach the file. Nothing is estimated: a pair has the same weight in every network, on any number of threads.
"""

import logging
from itertools import count

import duckdb

from unsnag.link import weights

STAYS, PAIRS = "pooled.link.compared_stays", "pooled.link.possible_pairs"
SCORED = """create or replace table link.scored_pairs (
    kind varchar, earlier_number bigint, later_number bigint, evidence_weight double)"""
EVIDENCE = """create or replace table link.scored_fields (
    kind varchar, earlier_number bigint, later_number bigint, field varchar, level varchar, meaning varchar,
    weight double)"""


def score(connection: duckdb.DuckDBPyConnection) -> None:
    """Write link.scored_pairs and link.scored_fields: every possible pair that is not hopeless, field by field.

    connection : a store whose catalog is named pooled
    """
    connection.execute(SCORED)
    connection.execute(EVIDENCE)
    for kind in weights.KINDS:
        if connection.execute(f"select count(*) from {PAIRS} where kind = ?", [kind]).fetchone()[0]:
            _score_kind(connection, kind)


def _score_kind(connection, kind: str) -> None:
    beside = connection.cursor()
    try:
        predicted = predict(beside, kind, weights.limits(kind).list_from)
        write_levels(beside, kind)
        ids = "compared_number_l as earlier_number, compared_number_r as later_number"
        beside.execute(
            f"insert into pooled.link.scored_pairs select '{kind}', {ids}, match_weight from {predicted} order by all"
        )
        beside.execute(
            f"""insert into pooled.link.scored_fields
            select '{kind}', earlier_number, later_number, field, level, meaning, weight
            from (
                unpivot (select {ids}, columns('^gamma_(.*)$') as '\\1' from {predicted})
                on columns(* exclude (earlier_number, later_number)) into name field value gamma
            ) inner join stated_levels using (field, gamma)
            order by earlier_number, later_number, position"""
        )
    finally:
        beside.close()


def predict(beside: duckdb.DuckDBPyConnection, kind: str, lowest: float | None) -> str:
    """Have Splink weigh the possible pairs of a kind; only those of at least the lowest weight are kept.

    Returns  the name of Splink's table: match_weight in log2, gamma_<field> the level of each field
    """
    from splink import DuckDBAPI, Linker  # here, for commands that link nothing start without it

    logging.getLogger("splink").setLevel(logging.ERROR)
    api = DuckDBAPI(beside)
    stays = api.register(beside.sql(f"select * from {STAYS}"))
    pairs = api.register(
        beside.sql(
            f"select '0' as match_key, earlier_number as join_key_l, later_number as join_key_r "
            f"from {PAIRS} where kind = '{kind}'"
        )
    )
    linker = Linker(stays, weights.settings(kind), log_level=None, validate_settings=False)
    linker.table_management.register_blocked_pairs_for_predict(pairs)
    return linker.inference.predict(threshold_match_weight=lowest).physical_name


def write_levels(beside, kind: str) -> None:
    """Splink's number of each level: -1 where a value is missing, the others counted down to 0."""
    beside.execute(
        "create or replace temp table stated_levels "
        "(field varchar, gamma integer, level varchar, meaning varchar, weight double, position integer)"
    )
    rows = []
    for position, (field, levels) in enumerate(weights.fields(kind).items()):
        number = count(sum(level.m is not None for level in levels) - 1, -1)
        for level in levels:
            gamma = -1 if level.m is None else next(number)
            rows.append((field, gamma, level.level, level.meaning, level.weight, position))
    beside.executemany("insert into stated_levels values (?, ?, ?, ?, ?, ?)", rows)
