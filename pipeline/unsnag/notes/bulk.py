"""Many notes at once: distinct texts first, on several processors, the same frame whatever their number."""

import datetime
import functools
import multiprocessing
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import pandas

from unsnag.notes.dates import When, resolve
from unsnag.notes.read import Read, reader, status_on
from unsnag.notes.rules import load_rules
from unsnag.notes.shorthand import Shorthand

COLUMNS = ("note", "axis", "code", "start", "end", "status", "date", "is_day_written", "result", "rule")
CHUNK = 5_000


def understand_all(
    texts: Sequence[str | None],
    admission_dates: Sequence[datetime.date | None] | None = None,
    date_order: str = "dmy",
    codes: Path | None = None,
    processes: int = 1,
    last_dates: Sequence[datetime.date | None] | None = None,
    shorthand: Mapping[str, str] | None = None,
) -> pandas.DataFrame:
    """What each of many notes says: one row a mention.

    The columns are ``note`` (number of the text, from 0) and what Mention has, without the words and the reasons:
    those are ``texts[note][start:end]`` and what ``explain`` shows. ``is_day_written`` tells a day that cannot be
    resolved from none.

    texts           : the notes; None and empty ones say nothing
    admission_dates : as many, or None
    last_dates      : as many, or None: a day without a year is none after it
    codes           : the folder of the rules; by default the shipped one
    shorthand       : the clinic's own, what is written to what it means
    processes       : how many read side by side
    Raises          ValueError: the lengths differ
    """
    nothing = [None] * len(texts)
    firsts, lasts = (nothing if given is None else given for given in (admission_dates, last_dates))
    for dates in (firsts, lasts):
        if len(dates) != len(texts):
            raise ValueError(f"{len(texts)} texts and {len(dates)} dates: give one for each text")
    distinct = list(dict.fromkeys(filter(None, texts)))
    read = _read_all(distinct, date_order, shorthand, codes, processes)
    said = {text: rows for text, rows in zip(distinct, read, strict=True) if rows}
    rows = [
        (number, axis, *place, status_on(axis, status, day, firsts[number]), day, when is not None, *after)
        for number, text in enumerate(texts)
        for (axis, *place, status), when, after in said.get(text, ())
        for day in (resolve(when, firsts[number], lasts[number]),)
    ]
    return pandas.DataFrame(rows, columns=list(COLUMNS))


def _read_all(
    texts: list[str], date_order: str, shorthand: Mapping[str, str] | None, codes: Path | None, processes: int
) -> Iterator[list[tuple]]:
    read = functools.partial(_read_chunk, date_order=date_order, shorthand=shorthand, codes=codes)
    chunks = [texts[start : start + CHUNK] for start in range(0, len(texts), CHUNK)]
    if processes == 1 or len(chunks) == 1:
        for chunk in chunks:
            yield from read(chunk)
        return
    with ProcessPoolExecutor(processes, mp_context=multiprocessing.get_context("spawn")) as pool:
        for rows in pool.map(read, chunks):
            yield from rows


def _read_chunk(
    texts: list[str], date_order: str, shorthand: Mapping[str, str] | None, codes: Path | None
) -> list[list[tuple]]:
    notes = reader(load_rules(codes))
    own = Shorthand(shorthand) if shorthand else None
    return [[_row(each) for each in notes.read(text, date_order, own)] for text in texts]


def _row(read: Read) -> tuple[tuple, When | None, tuple]:
    """A mention without its day: what stands before it in the frame, the day as written, what stands after."""
    said = read.mention
    return (said.axis, said.code, said.start, said.end, said.status), read.when, (said.result, said.rule)
