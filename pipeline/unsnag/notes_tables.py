"""notes.texts → notes.facts: what the clinics' texts say, read by the rules of sql/codes/notes_*.csv."""

import os

import duckdb
import pandas

from unsnag.notes import understand_all

FACTS = """create or replace table notes.facts (
    text_number bigint, fact_number bigint, axis varchar, code varchar, status varchar, fact_date date,
    is_day_written boolean, result varchar, rule varchar, first_character integer, words varchar)"""
# No case number or species: what is looked at is the text alone, so that each is read once.
TEXTS = "select * from notes.texts where date_order = $date_order order by text_number"
ENOUGH_FOR_TWO = 20_000


def write(connection: duckdb.DuckDBPyConnection, is_read: bool = True) -> None:
    """Make notes.facts: one row per thing that a text says, with its words and the rule that found it.

    is_read : False leaves the table empty, so that everything after it rests on the columns alone
    """
    connection.execute(FACTS)
    orders = connection.execute("select distinct date_order from notes.texts order by 1").fetchall()
    for (date_order,) in orders if is_read else ():
        texts = connection.execute(TEXTS, {"date_order": date_order}).df(date_as_object=True)
        said = _said(texts, date_order)  # noqa: F841 (DuckDB finds the frame by its name)
        connection.execute("insert into notes.facts select * from said")


def _said(texts: pandas.DataFrame, date_order: str) -> pandas.DataFrame:
    """The columns of notes.facts, in the order of texts and of their words."""
    written = texts["text"].tolist()
    processes = min(2, os.cpu_count() or 1) if len(written) >= ENOUGH_FOR_TWO else 1
    found = understand_all(
        written,
        texts["admission_date"].tolist(),
        date_order,
        processes=processes,
        last_dates=texts["last_date"].tolist(),
    )
    starts, ends = found["start"], found["end"]
    words = [written[note][start:end] for note, start, end in zip(found["note"], starts, ends, strict=True)]
    return pandas.DataFrame(
        {
            "text_number": texts["text_number"].to_numpy()[found["note"].to_numpy(int)],
            "fact_number": found.groupby("note").cumcount() + 1,
            **{name: found[name].astype(object) for name in ("axis", "code", "status")},
            "fact_date": pandas.to_datetime(found["date"], errors="coerce"),
            "is_day_written": found["is_day_written"].astype(bool),
            **{name: found[name].astype(object) for name in ("result", "rule")},
            "first_character": starts.astype(int),
            "words": pandas.Series(words, dtype=object),
        }
    )
