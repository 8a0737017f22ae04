"""The floor: what of an analysis of a network's own may be published.

It knows nothing of what a row means: whether rows taken together give something away is for the author to judge.
"""

import re
from pathlib import Path

import pandas as pd

from unsnag.errors import Problem
from unsnag.own.contract import who

DAY = re.compile(r"\b\d{4}-\d{1,2}-\d{1,2}\b|\b\d{1,2}[./]\d{1,2}[./]\d{2,4}\b")
WORD = re.compile(r"\w+")
LONGEST = 6  # words of a private word that is looked for inside a longer text
TELLING = 4  # letters below which a run of words inside a text is no name


def check_cells(path: Path, frame: pd.DataFrame, private: set[str]) -> None:
    """Refuse what public tables never hold: days, places, clinics' and people's words."""
    for name, column in frame.items():
        if pd.api.types.is_numeric_dtype(column):
            if name in ("latitude", "longitude"):
                raise Problem(who(path), f"the column '{name}' tells places", "Group by something else")
        elif (
            pd.api.types.is_datetime64_any_dtype(column)
            or not column.dropna().map(type).isin([str, bool]).all()
        ):
            raise Problem(
                who(path), f"the column '{name}' holds days or objects", "Give a year, a number or a code"
            )
        else:
            _check_texts(path, name, {str(cell) for cell in column.dropna()}, private)


def _check_texts(path: Path, name: str, cells: set[str], private: set[str]) -> None:
    for cell in sorted(cells):
        if DAY.search(cell):
            raise Problem(who(path), f"the column '{name}' tells days", "Give a year, a number or a code")
        if told := private & _runs(cell):
            what = f"the column '{name}' tells a private word, '{min(told)}'"
            raise Problem(who(path), what, "Leave it out, or give its code")


def _runs(cell: str) -> set[str]:
    """The whole cell, and of longer ones each run of words that is no mere number or syllable, in small letters."""
    words = WORD.findall(cell.lower())
    starts = range(len(words))
    runs = {" ".join(words[start:end]) for start in starts for end in range(start + 1, start + LONGEST + 1)}
    return {" ".join(words)} | {run for run in runs if len(run) >= TELLING and not run.isdigit()}


def private_words(connection) -> set[str]:
    """Names of clinics, their numbers, places and notes as written: in small letters."""
    rows = connection.execute(
        "select lower(trim(word)) from (select unnest([clinic, label]) as word from clinic.clinics union all "
        "select unnest([case_id, animal_id, found_place]) from mart.cases union all "
        "select unnest([stay_id, case_number, band, if(length(notes) > 20, notes, null)]) from standard.stays) "
        "where trim(word) <> ''"
    ).fetchall()
    return {" ".join(WORD.findall(word)) for (word,) in rows} - {""}


def above_floor(frame: pd.DataFrame, minimum_clinics: int, minimum_animals: int) -> pd.DataFrame:
    """The rows that may be published; a single withheld one takes the smallest other with it: a total would tell it.

    frame : with whole numbers ``clinics`` and ``animals``; a row without one of them is withheld
    """
    is_enough = (frame["clinics"] >= minimum_clinics) & (frame["animals"] >= minimum_animals)
    is_enough = is_enough.fillna(False).astype(bool)
    if (~is_enough).sum() == 1 and is_enough.any():
        is_enough[frame.loc[is_enough, "animals"].idxmin()] = False
    return frame[is_enough].reset_index(drop=True)


def in_words(withheld: int, minimum_clinics: int, minimum_animals: int) -> str:
    """What was left out, plainly."""
    floor = f"fewer than {minimum_clinics} clinics or {minimum_animals} animals"
    if not withheld:
        return f"No row rests on {floor}."
    return f"{withheld} rows are withheld: they rest on {floor}, or would give such a row away."
