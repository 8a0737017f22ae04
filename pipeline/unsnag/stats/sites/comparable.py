"""Which sites without a new bin a bin site is compared with."""

import numpy as np
from scipy.optimize import linear_sum_assignment

from unsnag.stats.arguments import as_counts


def comparable_sites(other_yearly, area, is_bin, *, most=5, times=3.0):
    """Comparison sites of each bin site: of its area, and about as many other rescues a year.

    Never chosen by their tackle cases: sites picked for a peak like the bin's would fall like it, by chance. Each
    site serves one bin, so that strata stay independent; together the pairs are as alike as they can be.

    other_yearly : float array (s,), yearly rescues of the same taxa for other causes, before
    area      : array (s,), e.g. the clinic catchment
    is_bin    : bool array (s,), sites with a new bin
    most      : int, >= 1, most comparison sites of one bin
    times     : float, > 1, how many times more or fewer rescues a comparison site may have
    Returns     int array (s,), stratum: bin sites 0, 1, … in their order, comparison sites that of their bin, -1
                for a site that is compared with none
    Raises      ValueError: lengths differ, a rate is negative, or most or times makes no sense
    Source      Kuhn (1955), Naval Research Logistics Quarterly 2:83-97, assignment, as in scipy.
    """
    (other_yearly,) = as_counts(other_yearly=np.atleast_1d(other_yearly))
    area, is_bin = np.asarray(area), np.asarray(is_bin, dtype=bool)
    if not other_yearly.shape == area.shape == is_bin.shape or most < 1 or not times > 1:
        raise ValueError(
            f"other_yearly, area and is_bin need one entry a site; most {most} >= 1, times {times} > 1"
        )
    stratum = np.full(is_bin.size, -1)
    bins, others = np.flatnonzero(is_bin), np.flatnonzero(~is_bin)
    stratum[bins] = np.arange(bins.size)
    # Half a rescue more: a site without any has a logarithm too.
    size = np.log(other_yearly + 0.5)
    apart = np.abs(size[bins][:, None] - size[others])
    fits = (apart <= np.log(times)) & (area[bins][:, None] == area[others])
    # Dearer than all fitting pairs together: a pair that does not fit is only ever made for want of another.
    dear = 1 + np.log(times) * most * max(bins.size, 1)
    row, column = linear_sum_assignment(np.repeat(np.where(fits, apart, dear), most, axis=0))
    kept = fits[row // most, column]
    stratum[others[column[kept]]] = row[kept] // most
    return stratum
