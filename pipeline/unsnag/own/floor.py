"""The floor: what of an analysis of a network's own may be published.

It knows nothing of what a row means: whether rows taken together give something away is for the author to judge.
"""

from pathlib import Path

import pandas as pd

from unsnag.errors import Problem
from unsnag.own.contract import who


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
        elif private & {str(cell).strip().lower() for cell in column.dropna()}:
            raise Problem(
                who(path), f"the column '{name}' tells a private word", "Leave it out, or give its code"
            )


def private_words(connection) -> set[str]:
    """Names of clinics, their numbers, places and notes as written: in small letters."""
    rows = connection.execute(
        "select lower(trim(word)) from (select unnest([clinic, label]) as word from clinic.clinics union all "
        "select unnest([case_id, animal_id, found_place]) from mart.cases union all "
        "select unnest([stay_id, case_number, band, if(length(notes) > 20, notes, null)]) from standard.stays) "
        "where trim(word) <> ''"
    ).fetchall()
    return {word for (word,) in rows}


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
