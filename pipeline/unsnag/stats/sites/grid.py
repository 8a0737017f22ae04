"""Making places coarser before they are published, and saying so.

A coordinate is rounded to the nearest point of a decimal grid, never moved at random: a random move can be
undone by averaging, and the rounded value prints with the digits that it has.
"""

import numpy as np

from unsnag.stats.sites.distance import check_coordinates, distance_m

# Degrees a category of sensitivity: 1 extreme, 2 high, 3 medium, 4 low, 0 not sensitive. nan: no coordinate.
CATEGORY_DEGREES = {0: 0.0, 1: np.nan, 2: 0.1, 3: 0.01, 4: 0.001}


def grid_degrees(category, at_least=0.0):
    """Grid of each sensitivity category, in degrees.

    category  : int array (n,), 0 to 4; 0 for a species that is not sensitive
    at_least  : float, degrees, the coarsest of this and the category's own is taken
    Returns     float array (n,), degrees; 0 for no rounding, nan for no public coordinate
    Raises      ValueError: a category is not 0 to 4, or at_least is negative
    Source      Chapman (2020), Current Best Practices for Generalizing Sensitive Species Occurrence Data, GBIF,
                doi:10.15468/doc-5jp4-5g10, table 7.
    """
    category = np.atleast_1d(category)
    unknown = sorted(set(category.tolist()) - set(CATEGORY_DEGREES))
    if unknown:
        raise ValueError(f"sensitivity {unknown[0]} is none of 1, 2, 3, 4, or 0 for not sensitive")
    if not at_least >= 0:
        raise ValueError(f"at_least is {at_least} degrees: it must be 0 or more")
    return np.maximum([CATEGORY_DEGREES[one] for one in category.tolist()], at_least)


def generalise(latitude, longitude, degrees, uncertainty_m=0.0):
    """Coordinates rounded to a decimal grid, with the radius that surely holds the true place.

    latitude, longitude : float arrays (n,), decimal degrees
    degrees   : float array (n,) or float, grid; 0 leaves the place as it is, nan withholds it
    uncertainty_m : float array (n,) or float, metres, of the coordinates as they came; nan where unknown
    Returns     latitude, longitude, float arrays (n,), nan where withheld; uncertainty, float array (n,), whole
                metres, rounded up: the farthest corner of the grid cell, and the place's own uncertainty on top.
                nan where withheld or unknown; never 0, which Darwin Core does not allow
    Raises      ValueError: a coordinate is wrong, or a grid or an uncertainty is negative
    Source      Chapman (2020), tables 6 and 7; Wieczorek, Guo & Hijmans (2004), Int J Geogr Inf Sci 18:745-767,
                for adding uncertainties; Darwin Core, coordinateUncertaintyInMeters.
    """
    latitude, longitude = check_coordinates(latitude, longitude)
    degrees = np.broadcast_to(np.asarray(degrees, dtype=float), latitude.shape)
    uncertainty_m = np.broadcast_to(np.asarray(uncertainty_m, dtype=float), latitude.shape)
    if (degrees < 0).any() or (uncertainty_m < 0).any():
        raise ValueError("degrees and uncertainty_m must be 0 or more, or nan")
    # The outermost cells reach past the pole and the date line; their places do not.
    rounded = np.clip(_rounded(latitude, degrees), -90, 90), np.clip(_rounded(longitude, degrees), -180, 180)
    metres = np.ceil(cell_radius_m(*rounded, degrees) + uncertainty_m)
    return *rounded, np.where(metres > 0, metres, np.nan)


def _rounded(coordinate, degrees):
    step = np.where(degrees > 0, degrees, 1)
    # Nine decimals take off what binary fractions leave behind: 12.3, not 12.300000000000001.
    on_grid = np.round(np.floor(coordinate / step + 0.5) * step, 9)
    return np.where(np.isnan(degrees), np.nan, np.where(degrees > 0, on_grid, coordinate))


def cell_radius_m(latitude, longitude, degrees):
    """Distance from the middle of a grid cell to its farthest corner, the one nearer to the equator.

    latitude, longitude : float arrays (n,), decimal degrees, the middle; nan where withheld
    degrees   : float array (n,), width of the cell; 0 for a point
    Returns     float array (n,), metres; nan where withheld
    """
    shown = np.flatnonzero(~np.isnan(latitude))
    half = degrees[shown] / 2
    near_equator = latitude[shown] - np.copysign(half, latitude[shown])
    radius = np.full(latitude.shape, np.nan)
    # Measured from longitude 0: no corner then lies past the date line.
    radius[shown] = distance_m(latitude[shown], np.zeros(shown.size), near_equator, half)
    return radius


def generalisation_note(degrees):
    """What was done to a place, in words for Darwin Core dataGeneralizations or informationWithheld.

    degrees   : float array (n,), grid; 0 for no rounding, nan for a place that is withheld
    Returns     list of n str, "" where nothing was done
    """
    return [_note(one) for one in np.atleast_1d(np.asarray(degrees, dtype=float)).tolist()]


def _note(degrees):
    if np.isnan(degrees):
        return "Coordinates withheld because the species is sensitive; they are held privately."
    if degrees == 0:
        return ""
    return f"Coordinates rounded to a decimal geographic grid of {degrees:g} degree; finer ones are held privately."
