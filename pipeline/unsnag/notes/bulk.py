"""Many notes at once: distinct texts first, on several processors, the same frame whatever their number."""

import datetime
import functools
import multiprocessing
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import pandas

from unsnag.notes.mention import Mention
from unsnag.notes.read import Read, reader, with_day
from unsnag.notes.rules import load_rules

COLUMNS = ("note", *Mention.__slots__)
CHUNK = 5_000


def understand_all(
    texts: Sequence[str | None],
    admission_dates: Sequence[datetime.date | None] | None = None,
    date_order: str = "dmy",
    codes: Path | None = None,
    processes: int = 1,
) -> pandas.DataFrame:
    """What each of many notes says: one row a mention.

    The columns are ``note`` (number of the text, from 0) and the fields of Mention.


    texts           : the notes; None and empty ones say nothing
    admission_dates : as many, or None
    codes           : the folder of the rules; by default the shipped one
    processes       : how many read side by side
    Raises          ValueError: the lengths differ
    """
    dates = admission_dates if admission_dates is not None else [None] * len(texts)
    if len(dates) != len(texts):
        raise ValueError(f"{len(texts)} texts and {len(dates)} dates of admission: give one for each text")
    distinct = list(dict.fromkeys(filter(None, texts)))
    said = {
        text: reads
        for text, reads in zip(distinct, _read_all(distinct, date_order, codes, processes), strict=True)
        if reads
    }
    rows = (
        (number, *_values(with_day(read, dates[number])))
        for number, text in enumerate(texts)
        for read in said.get(text, ())
    )
    return pandas.DataFrame(rows, columns=list(COLUMNS))


def _values(mention: Mention) -> tuple:
    return tuple(getattr(mention, name) for name in Mention.__slots__)


def _read_all(texts: list[str], date_order: str, codes: Path | None, processes: int) -> Iterator[list[Read]]:
    read = functools.partial(_read_chunk, date_order=date_order, codes=codes)
    chunks = [texts[start : start + CHUNK] for start in range(0, len(texts), CHUNK)]
    if processes == 1 or len(chunks) == 1:
        for chunk in chunks:
            yield from read(chunk)
        return
    with ProcessPoolExecutor(processes, mp_context=multiprocessing.get_context("spawn")) as pool:
        for reads in pool.map(read, chunks):
            yield from reads


def _read_chunk(texts: Iterable[str], date_order: str, codes: Path | None) -> list[list[Read]]:
    notes = reader(load_rules(codes))
    return [notes.read(text, date_order) for text in texts]
