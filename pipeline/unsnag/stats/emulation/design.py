"""Columns of a regression from a frame of covariates: factors as indicators, numbers as they are, days as steps."""

import numpy as np
import pandas as pd

DAY_STEPS = (1, 2, 4, 7, 10, 14, 21, 28)


def design(frame, covariates, day_steps=()):
    """Design matrix with an intercept.

    frame      : frame with the covariates, and ``day`` if there are day_steps
    covariates : names of columns; text becomes indicators of every level but the first in alphabetical order
    day_steps  : days from which the chance has its own level; steps that leave out no row or all rows are dropped
    Returns      float array (rows, p), list of p names
    Raises       ValueError: a covariate is missing from the frame, or a number is missing in it
    """
    columns = {"intercept": np.ones(len(frame))}
    for step in day_steps:
        columns[f"day >= {step}"] = (frame["day"] >= step).to_numpy(float)
    for name in covariates:
        columns |= _columns(frame, name)
    kept = {name: column for name, column in columns.items() if name == "intercept" or np.ptp(column) > 0}
    return np.column_stack(list(kept.values())), list(kept)


def baseline_columns(frame, covariates):
    """Every covariate as numbers for a table of balance: all levels of a factor, none left out.

    Returns dict of name to float array, in the order of the covariates.
    """
    return {name: column for each in covariates for name, column in _columns(frame, each, every=True).items()}


def is_factor(values):
    """Whether a column (Series) holds text levels and not numbers or yes and no."""
    return not (pd.api.types.is_bool_dtype(values) or pd.api.types.is_numeric_dtype(values))


def as_levels(values):
    """A text column (Series) as a text array, an empty cell being the level "not stated"."""
    return _stated(values).to_numpy(str)


def _stated(values):
    return values.astype(object).where(values.notna() & (values != ""), "not stated")


def _columns(frame, name, every=False):
    if name not in frame:
        raise ValueError(
            f"there is no covariate '{name}'; the frame has {', '.join(map(str, frame.columns))}"
        )
    values = frame[name]
    if not is_factor(values):
        return {name: _numbers(name, values)}
    code, levels = pd.factorize(_stated(values).astype(str), sort=True)
    first = 0 if every else 1
    return {
        f"{name}: {level}": (code == each).astype(float) for each, level in enumerate(levels[first:], first)
    }


def _numbers(name, values):
    if values.isna().any():
        raise ValueError(
            f"covariate '{name}' is empty in {values.isna().sum()} rows; group it into levels with one for 'not stated'"
        )
    return values.to_numpy(float)
