"""What one more bin is expected to prevent: cases within its reach, times the share that bins prevent."""

from typing import NamedTuple

import numpy as np
from scipy.stats import t as student

from unsnag.stats.arguments import tail_probability


class Prevented(NamedTuple):
    """Yearly cases that a bin at each of s candidates prevents, beyond what standing bins reach."""

    within_reach: np.ndarray  # float (s,), middle yearly cases that the bin newly reaches
    middle: np.ndarray  # float (s,), middle of the cases prevented a year; below 0: more cases
    low: np.ndarray  # float (s,), lower limit
    high: np.ndarray  # float (s,), upper limit
    chance_of_any: np.ndarray  # float (s,), share of the draws that prevent anything


def prevented_yearly(case_draws, covers, log_ratio, standard_error, degrees_of_freedom, *, standing=None, seed,
                     level=0.95):  # fmt: skip
    """Yearly cases prevented by one more bin, with what is not known of the cases and of the effect.

    case_draws : float array (draws, d), yearly cases of each place, Expected.draws
    covers    : bool array (d, s), which places each candidate reaches
    log_ratio, standard_error, degrees_of_freedom : of BinEffect; an assumed effect has standard_error 0
    standing  : bool array (d,), places that a standing bin reaches; None for none
    seed      : int
    level     : confidence of the limits
    Returns     Prevented
    Raises      ValueError: shapes do not fit, or the effect is not finite
    """
    case_draws, covers = np.asarray(case_draws, dtype=float), np.asarray(covers, dtype=bool)
    standing = np.zeros(len(covers), dtype=bool) if standing is None else np.asarray(standing, dtype=bool)
    if case_draws.ndim != 2 or not case_draws.shape[1] == len(covers) == standing.size:
        raise ValueError(f"case_draws is {case_draws.shape}, covers {covers.shape}: the places differ")
    if not np.isfinite([log_ratio, standard_error]).all():
        raise ValueError("the effect of the bins is not estimated: give an assumed one with standard_error 0")
    within = case_draws @ (covers & ~standing[:, None])
    error = student.rvs(degrees_of_freedom, size=len(within), random_state=np.random.default_rng(seed))
    prevented = within * (1 - np.exp(log_ratio + standard_error * error))[:, None]
    tail = tail_probability(level)
    low, middle, high = np.quantile(prevented, [tail, 0.5, 1 - tail], axis=0)
    return Prevented(np.median(within, axis=0), middle, low, high, (prevented > 0).mean(axis=0))
