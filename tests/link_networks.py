"""Stays for the link room alone: no exports, only what sql/3_link reads, in a database in memory."""

from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

import duckdb
import pandas as pd
from unsnag import link, models

DAY_ZERO = date(2023, 1, 1)
TEXTS = (
    "stay_id", "incident_id", "clinic", "case_number", "band", "own_number", "other_clinic_number", "found_place",
    "notes", "species_code", "taxon_group_code", "sex_code", "life_stage_code", "cause_code", "injury_code",
    "gear_code", "body_site_code", "outcome_code", "outcome_status_code", "transferred_to", "other_clinic",
)  # fmt: skip
DATES = ("found_date", "admission_date", "outcome_date")
NUMBERS = ("latitude", "longitude", "mass_g")
COUNTS = ("animal_number", "record_id")
TYPES = (
    dict.fromkeys(TEXTS, "varchar") | dict.fromkeys(DATES, "date") | dict.fromkeys(NUMBERS, "double")
    | dict.fromkeys(COUNTS, "integer")
)  # fmt: skip
GULL = {"species_code": "larus_pacificus", "taxon_group_code": "gull_or_tern"}


@dataclass(frozen=True)
class Linked:
    """A built link room, and what was wrong with its decisions."""

    connection: duckdb.DuckDBPyConnection
    problems: tuple

    def rows(self, sql: str) -> list[tuple]:
        """The rows of a SELECT."""
        return self.connection.execute(sql).fetchall()

    @property
    def cases(self) -> dict[str, str]:
        """Stay → case."""
        return dict(self.rows("select stay_id, case_id from link.case_stays order by stay_id"))

    @property
    def links(self) -> set[tuple[str, str, str]]:
        """(kind, earlier stay, later stay)."""
        return set(self.rows("select kind, earlier_stay_id, later_stay_id from link.links"))


def stay(clinic: str, number: str, admitted: int, left: int | None, **facts) -> dict:
    """One stay of a gull; days are counted from the first of January 2023."""
    return (
        GULL
        | {
            "stay_id": f"{clinic}:{number}",
            "incident_id": f"{clinic}:{number}",
            "clinic": clinic,
            "case_number": number,
            "own_number": number,
            "animal_number": 1,
            "admission_date": day(admitted),
            "outcome_date": day(left),
            "outcome_status_code": "final" if left is not None else "in_care",
        }
        | facts
    )


def day(number: int | None) -> date | None:
    return None if number is None else DAY_ZERO + timedelta(days=number)


def opened(threads: int) -> duckdb.DuckDBPyConnection:
    """An empty store in memory, with the shared codes."""
    connection = duckdb.connect(config={"threads": str(threads)})
    connection.execute("attach ':memory:' as pooled")
    connection.execute("use pooled")
    models.load_codes(connection)
    for schema in ("stage", "standard", "clinic"):
        connection.execute(f"create schema {schema}")
    return connection


def linked(stays: list[dict], decisions: list[tuple] = (), threads: int = 1) -> Linked:
    """The link room, built from these stays.

    decisions : (first stay, second stay, same or different)
    """
    connection = opened(threads)
    create_stays(connection)
    if stays:
        rows = [dict(each, record_id=number) for number, each in enumerate(stays)]
        connection.register("given", pd.DataFrame(rows, columns=list(TYPES), dtype=object))
        connection.execute("insert into standard.stays select * from given")
    settle(connection)
    for line, (one, other, decision) in enumerate(decisions, start=2):
        given = [*sorted((one, other)), decision, day(400), "they told us", line]
        connection.execute("insert into clinic.link_decisions values (?, ?, ?, ?, ?, ?)", given)
    problems = link.build(connection, {}, lambda what: None, Path("decisions/links.csv"))
    return Linked(connection, tuple(problems))


def create_stays(connection: duckdb.DuckDBPyConnection) -> None:
    """standard.stays without rows."""
    columns = ", ".join(f"{name} {kind}" for name, kind in TYPES.items())
    connection.execute(f"create table standard.stays ({columns})")


def settle(connection: duckdb.DuckDBPyConnection) -> None:
    """What the link room reads beside standard.stays."""
    connection.execute(
        "create table stage.stays as select record_id, other_clinic_number from standard.stays"
    )
    connection.execute("create table clinic.clinics as select distinct clinic from standard.stays")
    connection.execute("create table clinic.missing (clinic varchar)")
    connection.execute(
        "create table clinic.link_decisions (first_stay_id varchar, second_stay_id varchar, decision varchar, "
        "decided date, why varchar, line integer)"
    )
