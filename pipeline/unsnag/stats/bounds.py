"""What the unresolved cases could still make of a rate."""

from unsnag.stats.arguments import as_counts, divide


def unresolved_bounds(count, resolved, unresolved):
    """Rate among the resolved, and its bounds if none or all of the unresolved end that way.

    Animals still in care, transferred without a link or of unknown fate are neither failures nor successes;
    the bounds hold whatever became of them, without any assumption.

    count      : array, resolved animals with the outcome, e.g. released
    resolved   : array, all resolved animals
    unresolved : array, animals whose ending is not known
    Returns     rate, low, high, float arrays in [0, 1]; rate is nan where resolved is 0, all where both are 0
    Raises      ValueError: a count is negative, or count exceeds resolved
    Source      Manski (1990) Am Econ Rev 80:319-323 (worst-case bounds).
    """
    count, resolved, unresolved = as_counts(count=count, resolved=resolved, unresolved=unresolved)
    if (count > resolved).any():
        raise ValueError("count: more animals with the outcome than resolved animals")
    everybody = resolved + unresolved
    return divide(count, resolved), divide(count, everybody), divide(count + unresolved, everybody)
