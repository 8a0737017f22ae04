"""How many cases of an extract share what an outsider may know of an animal with only a few others."""

from dataclasses import dataclass
from pathlib import Path

import duckdb

from unsnag.csv_text import csv_text
from unsnag.models import literal

# What a finder, a neighbour or a newspaper may know of an animal, from little to much.
MAY_BE_KNOWN = (
    ("admission_year", "admission_quarter", "species_code"),
    ("admission_year", "species_code", "latitude", "longitude"),
    ("admission_year", "admission_quarter", "species_code", "latitude", "longitude"),
    (
        "admission_year",
        "admission_quarter",
        "species_code",
        "sex_code",
        "life_stage_code",
        "latitude",
        "longitude",
    ),
)
COUNTS = ("groups", "smallest_group", "minimum", "cases_in_smaller_groups", "cases")


@dataclass(frozen=True)
class Known:
    """What is known, and how far it narrows the cases down.

    groups   : different values of what is known
    smallest : cases in the smallest of them
    minimum  : the network's smallest cell
    cases    : cases in groups smaller than that
    of_cases : cases in all
    """

    columns: tuple[str, ...]
    groups: int
    smallest: int
    minimum: int
    cases: int
    of_cases: int


def report(cases: Path, minimum: int) -> tuple[Known, ...]:
    """Count the small groups in a Parquet file of cases."""
    with duckdb.connect() as connection:
        return tuple(_count(connection, cases, columns, minimum) for columns in MAY_BE_KNOWN)


def _count(connection, cases: Path, columns: tuple[str, ...], minimum: int) -> Known:
    (row,) = connection.execute(
        "select count(*), min(size), coalesce(sum(size) filter (where size < $minimum), 0)::bigint, sum(size)::bigint "
        f"from (select count(*) as size from {literal(str(cases))} group by {', '.join(columns)})",
        {"minimum": minimum},
    ).fetchall()
    groups, smallest, few, everything = row
    return Known(columns, groups, smallest, minimum, few, everything)


def as_csv(found: tuple[Known, ...]) -> str:
    """One row for each set of columns."""
    rows = [(" ".join(k.columns), k.groups, k.smallest, k.minimum, k.cases, k.of_cases) for k in found]
    return csv_text([("known", *COUNTS), *rows])
