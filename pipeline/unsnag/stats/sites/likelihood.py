"""How far a circle's cases stand above what is expected there: the likelihood ratio of a spatial scan."""

import numpy as np
from scipy.special import rel_entr


def log_likelihood_ratio(cases, rescues, expected, all_cases, all_rescues):
    """Log likelihood ratio of more cases inside a circle than outside; 0 where there are not more.

    The sum of O log(O / E) over four cells: cases and others, inside and outside. In one stratum that is
    Kulldorff's Bernoulli ratio. In several, E comes from each stratum's own share (indirect standardisation):
    no longer a full likelihood, which changes what it is sensitive to and not its p-value, because replicates
    deal cases out within strata too.

    cases, rescues, expected : arrays (...), inside the circle
    all_cases, all_rescues   : int, everywhere
    Returns     float array (...), >= 0
    Source      Kulldorff (1997), Commun Stat Theory Methods 26:1481-1496, section 3.1 (section from memory).
    """
    cases, rescues, expected = (np.asarray(counts, dtype=float) for counts in (cases, rescues, expected))
    out_cases, out_expected = all_cases - cases, np.maximum(all_cases - expected, 0)
    inside = rel_entr(cases, expected) + rel_entr(rescues - cases, np.maximum(rescues - expected, 0))
    out_rescues = all_rescues - rescues
    outside = rel_entr(out_cases, out_expected) + rel_entr(
        out_rescues - out_cases, np.maximum(out_rescues - out_expected, 0)
    )
    return np.where(cases > expected, np.maximum(inside + outside, 0), 0.0)


def critical_cases(rescues, expected, all_cases, all_rescues, floor):
    """Fewest cases that lift a circle's log likelihood ratio to a floor.

    A replicate then needs one comparison of whole numbers a circle; logarithms only where it is passed.

    rescues, expected      : arrays (k,), inside each circle
    all_cases, all_rescues : int, everywhere
    floor     : float, > 0
    Returns     int array (k,); ``all_cases + 1`` where no possible count gets there
    """
    most = np.minimum(rescues, all_cases)
    # Bernstein's inequality: by this many the case cell alone has reached the floor. The ratio grows with the
    # cases, so halving the interval from the expected count finds the first that does.
    surely = expected + floor / 3 + np.sqrt(floor**2 / 9 + 2 * floor * expected)
    low, high = np.floor(expected).astype(np.int64), np.minimum(np.ceil(surely).astype(np.int64), most)
    reached = log_likelihood_ratio(high, rescues, expected, all_cases, all_rescues) >= floor
    while (high - low > 1).any():
        middle = (low + high) // 2
        enough = log_likelihood_ratio(middle, rescues, expected, all_cases, all_rescues) >= floor
        low, high = np.where(enough, low, middle), np.where(enough, middle, high)
    return np.where(reached, high, all_cases + 1)
