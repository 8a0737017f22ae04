"""What the weights of the evidence are: sql/codes/link_weights.csv → the settings that Splink takes."""

import csv
from dataclasses import dataclass
from functools import cache
from itertools import groupby
from math import log2

from unsnag import resources

HAND_OVER, SECOND_ENTRY = KINDS = ("hand_over", "second_entry")
PRIOR = "prior"


@dataclass(frozen=True)
class Level:
    """How two stays may agree in one field: a condition in SQL, its meaning, and how likely it is.

    m : chance that a pair of one animal's stays agrees so; None where the level says nothing (a value is missing)
    u : chance that a pair of two animals' stays, among the possible pairs, agrees so
    """

    kind: str
    field: str
    level: str
    condition: str
    meaning: str
    m: float | None
    u: float | None
    reason: str

    @property
    def weight(self) -> float:
        """log2(m / u), Fellegi & Sunter (1969), JASA 64:1183-1210; 0 where a value is missing."""
        return 0.0 if self.m is None else log2(self.m / self.u)


@dataclass(frozen=True)
class Limits:
    """From which weight on a pair is accepted, or listed, and how much likelier than its rivals it must be."""

    accept: float
    list_from: float
    margin: float


@cache
def levels(kind: str) -> tuple[Level, ...]:
    """The stated levels of one kind of pair, in the file's order; within a field the first that holds counts."""
    rows = [row for row in _rows("link_weights") if row["kind"] == kind]
    return tuple(Level(**row | {name: _number(row[name]) for name in ("m", "u")}) for row in rows)


@cache
def limits(kind: str) -> Limits:
    """The stated limits of one kind of pair."""
    (row,) = (row for row in _rows("link_limits") if row["kind"] == kind)
    return Limits(*(float(row[name]) for name in ("accept", "list_from", "margin")))


def _rows(name: str) -> list[dict[str, str]]:
    with (resources.folder("sql") / "codes" / f"{name}.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def _number(text: str) -> float | None:
    return float(text) if text else None


def prior(kind: str) -> float:
    """The chance, before any evidence, that a stay has its other half at all."""
    (level,) = (level for level in levels(kind) if level.field == PRIOR)
    return level.m


def fields(kind: str) -> dict[str, list[Level]]:
    """Field → its levels, without the prior."""
    stated = [level for level in levels(kind) if level.field != PRIOR]
    return {field: list(of_field) for field, of_field in groupby(stated, key=lambda level: level.field)}


def settings(kind: str) -> dict:
    """The settings of a Splink model with every m and u fixed to what is stated."""
    return {
        "link_type": "dedupe_only",
        "unique_id_column_name": "compared_number",
        "probability_two_random_records_match": prior(kind),
        "retain_matching_columns": True,
        "retain_intermediate_calculation_columns": True,
        "blocking_rules_to_generate_predictions": [],
        "comparisons": [
            {"output_column_name": field, "comparison_levels": [_level(level) for level in of_field]}
            for field, of_field in fields(kind).items()
        ],
    }


def _level(level: Level) -> dict:
    stated = {"sql_condition": level.condition, "label_for_charts": level.meaning}
    if level.m is None:
        return stated | {"is_null_level": True}
    return stated | {"m_probability": level.m, "u_probability": level.u}
