"""notes.texts → notes.facts: what the clinics' texts say, read by the rules of sql/codes/notes_*.csv."""

import os
from collections.abc import Mapping

import duckdb
import pandas

from unsnag.notes import understand_all

FACTS = """create or replace table notes.facts (
    text_number bigint, fact_number bigint, axis varchar, code varchar, status varchar, fact_date date,
    is_day_written boolean, result varchar, rule varchar, first_character integer, words varchar)"""
# Of the clinic only how it writes: what is looked at is the text alone, so that each is read once.
OWN = "if(list_contains($with_shorthand, clinic), clinic, '')"
TEXTS = f"select * from notes.texts where date_order = $date_order and {OWN} = $own order by text_number"
HABITS = f"select distinct date_order, {OWN} as own from notes.texts order by all"
ENOUGH_FOR_TWO = 20_000


def write(
    connection: duckdb.DuckDBPyConnection, shorthand: Mapping[str, Mapping[str, str]], is_read: bool = True
) -> None:
    """Make notes.facts: one row per thing that a text says, with its words and the rule that found it.

    shorthand : clinic to its own, what is written to what it means
    is_read   : False leaves the table empty, so that everything after it rests on the columns alone
    """
    connection.execute(FACTS)
    clinics = {"with_shorthand": sorted(shorthand)}
    habits = connection.execute(HABITS, clinics).fetchall()
    for date_order, own in habits if is_read else ():
        named = clinics | {"date_order": date_order, "own": own}
        texts = connection.execute(TEXTS, named).df(date_as_object=True)
        said = _said(texts, date_order, shorthand.get(own))  # noqa: F841 (DuckDB finds the frame by its name)
        connection.execute("insert into notes.facts select * from said")


def _said(texts: pandas.DataFrame, date_order: str, shorthand: Mapping[str, str] | None) -> pandas.DataFrame:
    """The columns of notes.facts, in the order of texts and of their words."""
    written = texts["text"].tolist()
    processes = min(2, os.cpu_count() or 1) if len(written) >= ENOUGH_FOR_TWO else 1
    found = understand_all(
        written,
        texts["admission_date"].tolist(),
        date_order,
        processes=processes,
        last_dates=texts["last_date"].tolist(),
        shorthand=shorthand,
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
