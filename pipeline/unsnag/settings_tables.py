"""The workspace's settings as tables: clinic.* is what SQL sees of clinic.toml, terms.csv and the shared words."""

import hashlib
from datetime import date

import duckdb

from unsnag.workspace import Workspace

CLINICS = "create or replace table clinic.clinics (clinic varchar, label varchar, timezone varchar)"
SOURCES = """create or replace table clinic.sources (
    clinic varchar, source varchar, date_order varchar, decimal_sign varchar, timezone varchar, has_stays boolean)"""
LETTERS = "create or replace table clinic.letters (clinic varchar, letter varchar, is_public boolean)"
TERMS = """create or replace table clinic.terms (
    clinic varchar, field varchar, term varchar, axis varchar, code varchar, decided date, line integer)"""

LINK_DECISIONS = """create or replace table clinic.link_decisions (
    first_stay_id varchar, second_stay_id varchar, decision varchar, decided date, why varchar, line integer)"""
GAZETTEER = """create or replace table clinic.gazetteer (
    place varchar, latitude double, longitude double, uncertainty_m double)"""


COHORTS = """create or replace table clinic.cohorts (
    cohort varchar, title varchar, why varchar, conditions varchar, admitted_from date, admitted_until date,
    decided date)"""
COHORT_STEPS = """create or replace table clinic.cohort_steps (
    cohort varchar, step integer, feature varchar, codes varchar[], reason varchar)"""


def write(connection: duckdb.DuckDBPyConnection, workspace: Workspace) -> None:
    """Make clinic.network, clinic.clinics, clinic.letters, clinic.sources, clinic.terms, clinic.gazetteer, cohorts."""
    connection.execute("create schema if not exists clinic")
    network, publication = workspace.network, workspace.network.publication
    said = network.use.model_dump()
    connection.execute(
        "create or replace table clinic.network as select $1 as name, $2::boolean as invented, $3::integer as "
        "minimum_clinics, $4::integer as minimum_for_percentage, $5::double as grid_degrees, "
        + ", ".join(f"nullif(${number}::varchar, '') as {key}" for number, key in enumerate(said, 6)),
        [
            network.name,
            network.invented,
            publication.minimum_clinics,
            publication.minimum_for_percentage,
            publication.grid_degrees,
            *said.values(),
        ],
    )
    clinics = [(clinic.name, clinic.label, clinic.timezone) for clinic in workspace.clinics]
    sources = [
        (
            clinic.name,
            source.name,
            source.date_order,
            source.decimal,
            clinic.timezone,
            source.stay is not None,
        )
        for clinic in workspace.clinics
        for source in clinic.source
    ]
    for statement, table, rows in (
        (CLINICS, "clinics", clinics),
        (SOURCES, "sources", sources),
        (TERMS, "terms", [tuple(term) for term in workspace.terms]),
        (LETTERS, "letters", letters(workspace)),
        (LINK_DECISIONS, "link_decisions", link_decisions(workspace)),
        (GAZETTEER, "gazetteer", [tuple(place) for place in workspace.gazetteer]),
        (COHORTS, "cohorts", cohorts(workspace)),
        (COHORT_STEPS, "cohort_steps", cohort_steps(workspace)),
    ):
        connection.execute(statement)
        if rows:
            marks = ", ".join("?" for _ in rows[0])
            connection.executemany(f"insert into clinic.{table} values ({marks})", rows)


def cohorts(workspace: Workspace) -> list[tuple]:
    """The rows of clinic.cohorts."""
    return [
        (
            cohort.name,
            cohort.title,
            cohort.why,
            "; ".join(reason for _, _, reason in cohort.steps),
            cohort.admitted_from,
            cohort.admitted_until,
            cohort.decided,
        )
        for cohort in workspace.cohorts.cohort
    ]


def cohort_steps(workspace: Workspace) -> list[tuple]:
    """The rows of clinic.cohort_steps, numbered from 1 in each cohort."""
    return [
        (cohort.name, number, feature, list(codes), reason)
        for cohort in workspace.cohorts.cohort
        for number, (feature, codes, reason) in enumerate(cohort.steps, 1)
    ]


def link_decisions(workspace: Workspace) -> list[tuple]:
    """Each pair that a steward decided, once, its stays in the order of their ids."""
    rows = {item.stays: (*item.stays, item.decision, item.decided, item.why, item.line)
            for item in reversed(workspace.link_decisions)}  # fmt: skip
    return [rows[stays] for stays in sorted(rows)]


def letters(workspace: Workspace) -> list[tuple[str, str, bool]]:
    """(clinic, letter, may the letter stand beside single cases?).

    Letters follow a hash keyed with the network's secret, for the order of names or of sizes would give a clinic
    away; below the network's floor a letter beside single cases would too, because it shows the clinic's volume.
    """
    secret = workspace.pseudonym_key
    names = sorted(
        (clinic.name for clinic in workspace.clinics),
        key=lambda name: hashlib.sha256(f"{secret}:{name}".encode()).hexdigest(),
    )
    public = len(names) >= workspace.network.publication.clinics_for_letters
    return [(name, _letter(number), public) for number, name in enumerate(names)]


def _letter(number: int) -> str:
    """0 → A … 25 → Z, 26 → AA."""
    return (_letter(number // 26 - 1) if number >= 26 else "") + chr(ord("A") + number % 26)


def write_shared_words(connection: duckdb.DuckDBPyConnection, as_of: date) -> None:
    """codes.words: every code, label and synonym of every vocabulary, folded, and the code that it means.

    A code that was withdrawn before the as-of day speaks no more. The clinics' own folder names are the vocabulary
    'clinic', so that a column may say where an animal went.
    """
    vocabularies = [
        table
        for (table,) in connection.execute(
            "select table_name from information_schema.columns where table_schema = 'codes' "
            "and column_name = 'synonyms' order by table_name"
        ).fetchall()
    ]
    selects = [
        f"""select '{name}' as vocabulary, folded(unnest([code, replace(code, '_', ' '), label]
            || coalesce(string_split(synonyms, '|'), []))) as word, code from codes.{name}
            where coalesce(try_cast(until as date), date '9999-12-31') >= date '{as_of.isoformat()}'"""
        for name in vocabularies
    ] + [
        "select 'clinic' as vocabulary, folded(unnest([clinic, replace(clinic, '_', ' '), label])) as word, "
        "clinic as code from clinic.clinics"
    ]
    connection.execute(
        "create or replace table codes.words as select vocabulary, word, min(code) as code "
        f"from ({' union all '.join(selects)}) where word <> '' group by vocabulary, word"
    )
    labels = " union all ".join(
        f"select '{name}' as vocabulary, code, label from codes.{name}" for name in vocabularies
    )
    connection.execute(f"create or replace table codes.words_for_codes as {labels}")
