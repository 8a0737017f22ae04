"""Gather what the rules of sql/checks found into one list: checks.rules and checks.found."""

import duckdb

from unsnag import models
from unsnag.errors import Problem

FOUND = """create or replace table checks.found (
    rule varchar, clinic varchar, case_number varchar, file_id integer, row_number integer, detail varchar)"""
RULES = "create or replace table checks.rules (rule varchar, label varchar, level varchar, remedy varchar)"
LEVELS = ("refused", "withheld", "question")


def gather(connection: duckdb.DuckDBPyConnection) -> None:
    """One row a finding, and one row a rule (also those that found nothing), from the tables of sql/checks."""
    connection.execute(FOUND)
    connection.execute(RULES)
    for model in models.find(["checks"]):
        rule = (model.table, model.description, model.level, model.remedy)
        connection.execute("insert into checks.rules values (?, ?, ?, ?)", rule)
        connection.execute(
            f"insert into checks.found select '{model.table}', clinic, case_number, file_id, row_number, detail "
            f"from {model.name} order by clinic, file_id, row_number, case_number, detail"
        )


def counts(connection) -> list[tuple[str, str, str, int]]:
    """(level, rule in words, remedy, count) of every rule that found something, gravest first."""
    rows = connection.execute(
        "select rules.level, rules.label, rules.remedy, count(*) from checks.found inner join checks.rules "
        "using (rule) group by all order by 4 desc, 2"
    ).fetchall()
    return sorted(rows, key=lambda row: LEVELS.index(row[0]))


def left_out(connection) -> list[tuple[str, str, int, int]]:
    """(clinic, source, rows that ``only`` leaves out, all its rows of data) of every source that leaves out any."""
    return connection.execute(
        "select clinic, source, sum(left_out_rows)::bigint, sum(left_out_rows + refused_rows + raw_rows)::bigint "
        "from raw.files group by all having sum(left_out_rows) > 0 order by 1, 2"
    ).fetchall()


def open_words(connection) -> list[Problem]:
    """Words without a code, as the rows to paste into each clinic's terms.csv, most frequent first."""
    rows = connection.execute(
        "select clinic, field, word, times from standard.coded_words where code = 'unmapped' "
        "order by clinic, field, times desc, word"
    ).fetchall()
    grouped: dict[tuple[str, str], list[tuple[str, int]]] = {}
    for clinic, field, word, times in rows:
        grouped.setdefault((clinic, field), []).append((word, times))
    return [_to_paste(clinic, field, words) for (clinic, field), words in grouped.items()]


def _to_paste(clinic: str, field: str, words: list[tuple[str, int]]) -> Problem:
    lines = [f"{field},{_cell(word)},,,".ljust(40) + f"({times} times)" for word, times in words]
    noun = f"{field} term has" if len(words) == 1 else f"{field} terms have"
    return Problem(
        clinic,
        f"{noun} no code",
        f"Add to clinics/{clinic}/terms.csv, filling in the code (or 'ignore')",
        lines,
        len(words),
    )


def _cell(word: str) -> str:
    """A word as one CSV cell."""
    return '"' + word.replace('"', '""') + '"' if any(mark in word for mark in ',"\n') else word


def broken_laws(connection) -> list[Problem]:
    """Laws of conservation that do not hold: never a slip of the clinic's, always to be looked into."""
    rows = connection.execute(
        "select clinic, law, left_side, right_side, detail from mart.conservation where not holds order by 1, 2"
    ).fetchall()
    return [
        Problem(
            clinic,
            f"records are not accounted for: {law}: {left} is not {right} ({detail})",
            "Do not publish; report this with the file's layout",
        )
        for clinic, law, left, right, detail in rows
    ]
