"""Before a bin, while its place was being decided, and after; and what these periods show by themselves.

Bins are put where last year was bad, and a bad year is followed by a better one, bin or no bin. The period on which
the siting was decided is therefore no part of "before".
"""

from typing import NamedTuple

import numpy as np

from unsnag.stats.arguments import divide
from unsnag.stats.sites.bin_effect import bin_effect
from unsnag.stats.sites.expected import shrunken_rates

YEAR = 365.25
DECISION_DAYS = 365


class Periods(NamedTuple):
    """Counts of s sites in three periods, and how long these were in the stratum of each."""

    tackle: np.ndarray  # int (3, s), tackle cases before, while deciding, after
    other: np.ndarray  # int (3, s), other rescues
    years: np.ndarray  # float (3, s)


class RegressionToTheMean(NamedTuple):
    """What the bin sites' fall from the deciding period is worth by itself."""

    yearly: np.ndarray  # float (3,), tackle cases a year at all bin sites before, while deciding, after
    expected: float  # tackle cases a year there from the record before alone, shrunken: no bin, no luck
    naive_ratio: float  # after over deciding: what a naive comparison would claim
    chance_ratio: float  # expected over deciding: what the same comparison shows without any bin
    chance_share: float  # share of the naive fall that is chance, 0 to 1; nan where nothing fell


def before_and_after(site, day, is_tackle, stratum, first_day, installed_day, last_day, decided_day=None):
    """Counts of each site before, while deciding and after.

    Sites without a new bin are counted on the days of the bin that they are compared with: same stratum, same days.

    site      : int array (n,), site of each rescue, 0 to s - 1
    day       : int array (n,), day of each rescue, e.g. days since 1970
    is_tackle : bool array (n,)
    stratum   : int array (s,), stratum of each site, 0 to k - 1
    first_day, installed_day, last_day : int arrays (k,), first day of record, first day of the bin, last of record
    decided_day : int array (k,), first day of the record that the siting was decided on; None if unknown: the year
                before the bin, or what there is of it
    Returns     Periods
    Raises      ValueError: lengths differ, a site or stratum is out of range, or days are not in order
    """
    site, day, is_tackle = np.asarray(site, dtype=int), np.asarray(day), np.asarray(is_tackle, dtype=bool)
    stratum, installed_day = np.asarray(stratum, dtype=int), np.atleast_1d(installed_day)
    if decided_day is None:
        decided_day = np.maximum(installed_day - DECISION_DAYS, first_day)
    starts = np.array([*np.broadcast_arrays(first_day, decided_day, installed_day, np.add(last_day, 1))])
    if (np.diff(starts, axis=0) < 0).any():
        raise ValueError(
            "first day, deciding, installed and last day must follow one another in every stratum"
        )
    if not site.shape == day.shape == is_tackle.shape or not _in_range(site, stratum.size):
        raise ValueError(f"every rescue needs a day, a cause and one of the {stratum.size} sites")
    if not _in_range(stratum, starts.shape[1]):
        raise ValueError(f"every site needs one of the {starts.shape[1]} strata")
    period = (day >= starts[:, stratum[site]]).sum(axis=0) - 1
    counted = (period >= 0) & (period < 3)
    counts = np.zeros((2, 3, stratum.size), dtype=int)
    np.add.at(counts, (is_tackle[counted].astype(int), period[counted], site[counted]), 1)
    return Periods(counts[1], counts[0], np.diff(starts, axis=0)[:, stratum] / YEAR)


def _in_range(index, size):
    return not index.size or (index.min() >= 0 and index.max() < size)


def periods_effect(periods, is_bin, stratum=None, level=0.95):
    """Effect of the bins, the deciding period left out.

    periods   : Periods, s sites
    is_bin, stratum, level : as bin_effect()
    Returns     BinEffect
    """
    return bin_effect(
        periods.tackle[0], periods.other[0], periods.tackle[2], periods.other[2], is_bin, stratum, level
    )


def placebo_effects(
    rescues, stratum, is_bin, first_day, decided_day, earlier_days, deciding_days=DECISION_DAYS
):
    """The same analysis with bins pretended earlier, on days when there was none: a sound method finds nothing.

    The pretended record ends where the real deciding began.

    rescues   : (site, day, is_tackle), int, int and bool arrays (n,), as before_and_after()
    stratum   : int array (s,), 0 to k - 1
    is_bin    : bool array (s,), sites that later got a bin
    first_day, decided_day : int arrays (k,), as before_and_after()
    earlier_days : int array (q,), how long before the real deciding each pretended bin came, > 0
    deciding_days : int, length of the pretended deciding period
    Returns     list of q BinEffect
    Raises      ValueError: as before_and_after(), e.g. a pretended bin before the record begins
    """
    first_day, decided_day = np.atleast_1d(first_day), np.atleast_1d(decided_day)
    effects = []
    for days in earlier_days:
        installed = decided_day - days
        periods = before_and_after(
            *rescues, stratum, first_day, installed, decided_day - 1, installed - deciding_days
        )
        effects.append(periods_effect(periods, is_bin, stratum))
    return effects


def regression_to_the_mean(periods, is_bin):
    """How much of the bin sites' fall since the deciding period would have come without bins.

    What a site's record before says is drawn towards the other sites' (shrunken_rates); the deciding period,
    high because it was picked, is no part of it. Effort is ignored: this shows a trap, it measures no effect.

    periods   : Periods, s sites
    is_bin    : bool array (s,)
    Returns     RegressionToTheMean
    Raises      ValueError: no bin site, or a stratum without days before
    Source      Galton (1886), J Anthropol Inst 15:246-263; Hauer (1997), Observational Before-After Studies in
                Road Safety, ch. 11, for the shrunken record as the comparison (chapter from memory).
    """
    is_bin = np.asarray(is_bin, dtype=bool)
    if not is_bin.any():
        raise ValueError("no site has a bin")
    expected = shrunken_rates(periods.tackle[0], periods.years[0])[0][is_bin].sum()
    yearly = divide(periods.tackle, periods.years)[:, is_bin].sum(axis=1)
    _, deciding, after = yearly
    chance_share = np.clip((deciding - expected) / (deciding - after), 0, 1) if deciding > after else np.nan
    ratios = (float(divide(part, deciding)) for part in (after, expected))
    return RegressionToTheMean(yearly, float(expected), *ratios, float(chance_share))
